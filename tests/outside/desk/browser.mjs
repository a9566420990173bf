// A browser whose windows notice what no page may do: complain, ask elsewhere, or break the policy of what may run.
import assert from "node:assert/strict";

/** In the yard people have a phone, in the office a screen. */
export const PHONE = { width: 390, height: 844 };
export const SCREEN = { width: 1100, height: 800 };

const FLAGS = [
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/** Starts Chromium. It ends when whoever started it does. */
export async function launch(chromium, executablePath) {
  // As root, as on many build machines, Chromium does not make a sandbox.
  const args = process.getuid?.() === 0 ? [...FLAGS, "--no-sandbox"] : FLAGS;
  const running = await chromium.launch({ executablePath, args });
  running.wait_at_most = 10_000;
  return running;
}

/**
 * A browser of one person, with nothing in it yet. `expected` says which complaints of the console belong to what is
 * tried: a browser tells there of every answer of 400 and above.
 */
export async function open(running, house, options = {}) {
  const { size = SCREEN, script = true, expected = [], ...others } = options;
  const context = await running.newContext({
    baseURL: house.address,
    viewport: size,
    javaScriptEnabled: script,
    hasTouch: size === PHONE,
    acceptDownloads: true,
    locale: "en-US",
    timezoneId: "America/Detroit",
    ...others,
  });
  context.setDefaultTimeout(running.wait_at_most);
  const complaints = [];
  const complain = (where, says) => {
    if (![/ERR_INTERNET_DISCONNECTED/, ...expected].some((pattern) => pattern.test(says))) {
      complaints.push(`${new URL(where, house.address).pathname}: ${says}`);
    }
  };
  context.on("console", (message) => {
    const told = ["error", "warning"].includes(message.type());
    if (told) complain(message.location().url || message.page()?.url() || "/", message.text());
  });
  context.on("weberror", (thrown) => complain(thrown.page()?.url() ?? "/", String(thrown.error())));
  context.on("request", (request) => {
    const to = new URL(request.url());
    if (to.origin !== house.address && !["data:", "blob:"].includes(to.protocol)) {
      complain("/", `a request to ${to.origin}`);
    }
  });
  if (script) {
    await context.exposeBinding("tellOfViolation", ({ page }, says) => complain(page.url(), says));
    await context.addInitScript(() =>
      document.addEventListener("securitypolicyviolation", (event) =>
        window.tellOfViolation(`policy: ${event.violatedDirective} ${event.blockedURI}`),
      ),
    );
  }
  const page = await context.newPage();
  const close = async () => {
    await context.close();
    assert.deepEqual(complaints, [], "the browser had something to complain about");
  };
  return { context, page, complaints, close };
}

/** The status line that a console tells of a refused answer. */
export const answered = (status) => new RegExp(`status of ${status}`);
