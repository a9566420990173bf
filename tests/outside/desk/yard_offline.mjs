// Tickets are entered on a phone without signal, and sent when there is some.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { join } from "node:path";

import { open, PHONE } from "./browser.mjs";

export const title = "The scaler enters tickets without signal, and each is sent once";

/** Where pictures of it go, to be looked at; none are made when it is not set. */
const pictures = process.env.SKIDWAY_DESK_PICTURES;
/** The service, and somebody's token who may read all tickets; known when the journey begins. */
let address, outfit, token;

const books = async (path) => {
  const answer = await fetch(address + path, { headers: { Authorization: `Bearer ${token}` } });
  assert.ok(answer.ok, `${path}: ${answer.status}`);
  return answer.json();
};
const tickets_of = async (book) => (await books(`/v1/tickets?book=${book}&limit=500`)).items;

async function sign_in(page, who, secret) {
  await page.goto(`${address}/desk/sign-in?outfit=${outfit}&next=/desk/yard`);
  await page.fill("#name", who);
  await page.fill("#password", secret);
  await page.click("main button[type=submit]");
  await page.waitForSelector("#yard[data-ready]");
}

async function sign_out(page) {
  await page.click("form.who button");
  await page.waitForURL(/sign-in/);
}

const ready = (page) => page.waitForSelector("#yard[data-ready]");

/** Types a log as on a number keyboard: Enter from field to field, and from the last one onto the ticket. */
async function log(page, small, feet, inches = "") {
  const before = await page.locator("#sticks tbody tr[id]").count();
  await page.fill("#small_1", small);
  await page.focus("#small_1");
  await page.keyboard.press("Enter");
  await page.keyboard.press("Enter");
  await page.fill("#length", feet);
  await page.keyboard.press("Enter");
  await page.fill("#length_in", inches);
  await page.keyboard.press("Enter");
  await page.waitForSelector(`#stick-${before + 1}`);
}

async function head(page, book, number) {
  await page.fill("#book", book);
  await page.press("#book", "Tab");
  await page.waitForFunction((wanted) => document.getElementById("number").value === wanted, String(number));
  await page.fill("#number", String(number));
  await page.locator("#landing_id").selectOption({ index: 1 });
  if ((await page.locator("#work").getAttribute("open")) === null) await page.click("#work > summary");
  await page.locator("#crew_felling").selectOption({ index: 1 });
}

async function finish(page) {
  await page.click("#do-look");
  await page.click("#do-finish");
}

const signal = (page) => page.locator("#yard-signal").innerText();
async function until(page, pattern) {
  const since = Date.now();
  while (!pattern.test(await signal(page))) {
    assert.ok(Date.now() - since < 45_000, `${pattern} against ${await signal(page)}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

const picture = async (page, file) => {
  if (pictures) await page.screenshot({ path: join(pictures, `${file}.png`), fullPage: true });
};

/** Enters, loses signal, sends. */
export async function run({ running, house, say }) {
  const [{ name, password }, { name: other, password: other_password }] = [house.people.scaler, house.people.bookkeeper];
  [address, outfit, token] = [house.address, house.outfit, house.tokens.manager];
  if (pictures) mkdirSync(pictures, { recursive: true });
  // Without signal, and where an answer is lost on purpose, the console says so.
  const expected = [/ERR_/, /status of (4\d\d|503)/];
  const window = await open(running, house, { size: PHONE, expected });
  const { context } = window;
  context.setDefaultTimeout(15_000);
  let { page } = window;
  page.on("dialog", (dialog) => dialog.accept());
  await sign_in(page, name, password);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await page.waitForFunction(() => new Promise((resolve) => {
    const wanted = JSON.parse(document.getElementById("yard").dataset.practices).length;
    const asked = indexedDB.open("skidway-yard");
    asked.onsuccess = () => {
      const all = asked.result.transaction("tables").objectStore("tables").count();
      all.onsuccess = () => resolve(all.result === wanted);
    };
  }), null, { timeout: 60_000 });
  await head(page, "Q", 1);
  await page.fill("#species", "white pine");
  await log(page, "12", "16");
  await log(page, "14.5", "16", "4");
  await log(page, "9", "12");
  await page.waitForTimeout(600);
  const online = await page.locator("#totals").innerText();
  assert.match(online, /net/, "the scale runs along");
  await picture(page, "entry-online");
  say(`three sticks with signal: ${online.replaceAll(/\s+/g, " ")}`);

  await context.setOffline(true);
  const begun = Date.now();
  await page.reload();
  await ready(page);
  say(`the page opened without signal in ${Date.now() - begun} ms`);
  assert.equal(await page.locator("#sticks tbody tr[id]").count(), 3, "the sticks are still there");
  assert.equal(await page.inputValue("#species"), "white pine");
  const figures = async () => (await page.locator("#totals li strong").allInnerTexts()).join(", ");
  const by_table = await figures();
  assert.match(by_table, /net/, "the tables tell it without signal");
  for (const strong of by_table.split(", ")) assert.ok(online.includes(strong), `${strong} by the table, and with signal ${online}`);
  await picture(page, "entry-offline");

  // Correct, drop, undo; and a stick whose scale waits for signal.
  await page.click("[aria-label='Correct stick 3']");
  assert.equal(await page.inputValue("#small_1"), "9");
  await page.fill("#small_1", "10");
  await page.click("#do-add");
  await page.waitForFunction(() => document.querySelector("#stick-3")?.textContent.includes("small end 10 in"));
  await page.click("[aria-label='Drop stick 2']");
  await page.waitForFunction(() => document.querySelectorAll("#sticks tbody tr[id]").length === 2);
  await page.click("#do-undo");
  await page.waitForSelector("#stick-3");
  await page.fill("#small_1", "20");
  await page.click("#defects > summary");
  await page.locator("#d1_kind").selectOption("heart_rot");
  await page.locator("#d1_method").selectOption("squared");
  for (const [field, text] of [["width", "6"], ["height", "6"], ["length", "8"]]) await page.fill(`#d1_${field}`, text);
  await page.click("#do-add");
  await page.waitForSelector("#stick-4");
  assert.match(await page.locator("#stick-4").innerText(), /scaled when there is signal/);
  await finish(page);
  await until(page, /1 waiting/);
  assert.equal(await page.inputValue("#number"), "2", "the next number is proposed");
  await page.locator("#product").selectOption("tie");
  await page.fill("#species", "white oak");
  for (const [field, text] of [["width", "9"], ["thickness", "7"], ["length", "8.5"]]) await page.fill(`#${field}`, text);
  await page.click("#do-add");
  await page.waitForSelector("#stick-1");
  await finish(page);
  await until(page, /Offline.*2 waiting/);
  await picture(page, "queue-offline");
  await page.close();
  assert.equal((await tickets_of("Q")).length, 0);

  page = await context.newPage();
  page.on("dialog", (dialog) => dialog.accept());
  await page.goto(`${address}/desk/yard`);
  await ready(page);
  await until(page, /2 waiting/);
  say(`closed and opened again without signal: ${await signal(page)}`);

  // The answer to the first ticket is lost on its way: it is in the books, and the phone does not know.
  let lost = 0;
  await context.route("**/desk/yard/send", async (route) => {
    lost += 1;
    if (lost > 1) return route.continue();
    await route.fetch();
    await route.abort("connectionreset");
  });
  await context.setOffline(false);
  await until(page, /2 waiting/);
  await page.waitForFunction(() => document.getElementById("send-now") !== null);
  const since = Date.now();
  while (lost < 1 && Date.now() - since < 20_000) await page.waitForTimeout(100);
  await page.waitForTimeout(300);
  assert.equal((await tickets_of("Q")).length, 1, "it was kept, though nobody heard");
  // Two tabs, and both are told to send.
  const second = await context.newPage();
  await second.goto(`${address}/desk/yard`);
  await page.click("#send-now");
  await until(page, /0 waiting.*2 sent/);
  await second.close();
  await context.unroute("**/desk/yard/send");
  const kept = (await tickets_of("Q")).map((one) => one.ticket).sort((left, right) => left.number - right.number);
  assert.deepEqual(kept.map((one) => one.number), [1, 2], "each once, in order");
  assert.deepEqual(kept[0].pieces, [
    { product: "log", species: "white pine", small_diameter_in: ["12"], length_ft: "16" },
    { product: "log", species: "white pine", small_diameter_in: ["14.5"], length_ft: "16", length_in: "4" },
    { product: "log", species: "white pine", small_diameter_in: ["10"], length_ft: "12" },
    { product: "log", species: "white pine", small_diameter_in: ["20"], length_ft: "12",
      defects: [{ kind: "heart_rot", method: "squared", width_in: "6", height_in: "6", length_ft: "8" }] },
  ]);
  assert.deepEqual(kept[1].pieces, [{ product: "tie", species: "white oak", width_in: "9", thickness_in: "7", length_ft: "8.5" }]);
  say("sent when there was signal, each once, as it was typed, though an answer was lost");

  // A refusal: the number is taken by another ticket.
  await page.locator("#product").selectOption("log");
  await page.fill("#species", "red oak");
  await page.fill("#number", "50");
  await page.fill("#small_1", "11");
  await page.fill("#length", "0");
  await page.click("#do-add");
  await page.waitForSelector("#stick-1");
  await finish(page);
  await until(page, /1 refused/);
  const refusal = await page.locator("#queue-open li[data-state=refused]").innerText();
  assert.match(refusal, /0 is not/, refusal);
  await picture(page, "queue-refused");
  await page.locator("#queue-open button", { hasText: "Open it again" }).click();
  await page.waitForSelector("#stick-1");
  await page.click("[aria-label='Correct stick 1']");
  await page.fill("#length", "14");
  await page.click("#do-add");
  await page.waitForFunction(() => document.querySelector("#stick-1")?.textContent.includes("14 ft"));
  await finish(page);
  await until(page, /0 waiting · 0 refused · 3 sent/);
  say("refused with the service's words, opened again, corrected, sent");

  // Set aside, with a reason.
  await page.fill("#number", "1");
  await page.fill("#small_1", "11");
  await page.fill("#length", "14");
  await page.click("#do-add");
  await finish(page);
  await page.waitForFunction(() => document.getElementById("stick-said").textContent.includes("on this phone already"));
  await page.fill("#number", "60");
  await page.click("[aria-label='Correct stick 1']");
  await page.fill("#length", "0");
  await page.click("#do-add");
  await page.waitForFunction(() => document.querySelector("#stick-1")?.textContent.includes(" 0 ft"));
  await finish(page);
  await until(page, /1 refused/);
  await page.locator("#queue-open input").fill("it was another's stick");
  await page.locator("#queue-open button", { hasText: "Set it aside" }).click();
  await until(page, /0 refused/);
  assert.match(await page.locator("#queue-aside").textContent(), /another's stick/);
  say("set aside with a reason, still to be seen");

  // Another person on the same phone.
  await context.setOffline(true);
  await page.fill("#number", "70");
  await log(page, "13", "16");
  await finish(page);
  await until(page, /1 waiting/);
  await context.route("**/desk/yard/send", (route) => route.abort());
  await context.setOffline(false);
  await sign_out(page);
  await sign_in(page, other, other_password);
  await context.unroute("**/desk/yard/send");
  await page.reload();
  await ready(page);
  await until(page, /1 of somebody else on this phone/);
  assert.equal(await page.locator("#queue").isVisible(), false, "and nothing of it is shown");
  await page.waitForTimeout(1500);
  assert.equal((await tickets_of("Q")).filter((one) => one.ticket.number === 70).length, 0, "nor sent");
  await sign_out(page);
  await sign_in(page, name, password);
  await until(page, /0 waiting/);
  const [mine] = (await tickets_of("Q")).filter((one) => one.ticket.number === 70);
  assert.equal(mine.accepted_by, name);
  say("another person neither saw nor sent it; its own did");

  // The session ends while there is no signal.
  await context.setOffline(true);
  await page.fill("#number", "80");
  await log(page, "15", "16");
  await finish(page);
  await until(page, /1 waiting/);
  await context.clearCookies({ name: "__Host-skidway-session" });
  await context.setOffline(false);
  await page.waitForSelector("#sign-in-to-send");
  await picture(page, "sign-in-to-send");
  await sign_in(page, name, password);
  await until(page, /0 waiting/);
  assert.equal((await tickets_of("Q")).filter((one) => one.ticket.number === 80).length, 1);
  say("a session that had ended held nothing up but the sending");

  // A ticket is corrected through the same entry and the same queue.
  await page.goto(`${address}/desk/yard/tickets/${mine.ticket_id}/correct`);
  await ready(page);
  await page.fill("#reason", "read wrong");
  await page.click("[aria-label='Correct stick 1']");
  await page.fill("#small_1", "14");
  await page.click("#do-add");
  await page.waitForFunction(() => document.querySelector("#stick-1")?.textContent.includes("14 in"));
  await finish(page);
  await page.waitForURL(/yard$/);
  await ready(page);
  const right = (await tickets_of("Q")).find((one) => one.corrects === mine.ticket_id);
  assert.deepEqual(right.ticket.pieces.map((one) => one.small_diameter_in), [["14"]]);
  assert.equal(right.correction_reason, "read wrong");
  say("corrected through the same queue");

  // At 320 px nothing sticks out.
  await page.setViewportSize({ width: 320, height: 700 });
  const out = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  assert.ok(out <= 0, `the page is ${out} px too wide`);
  // Signed out, the page is no longer there for whoever opens the phone without signal.
  await sign_out(page);
  await context.setOffline(true);
  await page.goto(`${address}/desk/yard`);
  assert.match(await page.locator("h1").innerText(), /No signal/);
  say("signed out, no page of theirs is left");
  await window.close();
}
