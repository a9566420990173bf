// What holds for every page, whoever reads it and however.
import assert from "node:assert/strict";

import { SCREEN } from "./browser.mjs";
import { isSeen } from "./hands.mjs";

const TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/** What hinders people on the page as it stands, as axe-core finds it: the serious is answered, the rest is noted. */
export async function hindrances(page, axe, notes) {
  const present = await page.evaluate(() => typeof window.axe === "object");
  if (!present) await page.evaluate(axe);
  const violations = await page.evaluate(async (tags) => {
    const found = await window.axe.run(document, { runOnly: tags, resultTypes: ["violations"] });
    return found.violations.map(({ id, impact, help, nodes }) => ({
      id,
      impact,
      help,
      where: nodes.map((node) => `${node.target.join(" ")} ${node.html.slice(0, 120)}`),
    }));
  }, TAGS);
  const told = ({ id, impact, help, where }) => `${impact}: ${help} (${id}) at ${where.slice(0, 3).join("; ")}`;
  const serious = violations.filter(({ impact }) => ["serious", "critical"].includes(impact));
  for (const one of violations.filter((violation) => !serious.includes(violation))) notes.add(told(one));
  return serious.map(told);
}

/** Headings: one that says what the page is about, and none that skips a level. */
async function headings(page) {
  const levels = await page.locator("h1, h2, h3, h4, h5, h6").evaluateAll((all) => all.map(({ tagName }) => Number(tagName[1])));
  const faults = [];
  if (levels.filter((level) => level === 1).length !== 1) faults.push(`headings are ${levels}: there must be one h1`);
  levels.reduce((before, level) => {
    if (level > before + 1) faults.push(`a heading of level ${level} comes after one of level ${before}`);
    return level;
  }, 0);
  return faults;
}

/** The first thing the keyboard comes to leads past the head of the page. */
async function skip_link(page) {
  await page.evaluate(() => {
    document.activeElement?.blur();
    window.scrollTo(0, 0);
    const selection = getSelection();
    selection?.removeAllRanges();
    selection?.collapse(document.body, 0);
  });
  await page.keyboard.press("Tab");
  const first = await page.evaluate(() => document.activeElement?.className);
  if (first !== "skip") return [`the keyboard comes first to ${first || "nothing"}, not to the way past the head`];
  await page.keyboard.press("Enter");
  const there = await page.evaluate(() => document.activeElement?.id);
  return there === "content" ? [] : ["the way past the head does not lead the keyboard to the content"];
}

/** The tab key goes down the page in its order, is seen wherever it is, and comes out at the end; of a long page, its beginning. */
async function tab_order(page) {
  const faults = new Set();
  await page.evaluate(() => {
    document.activeElement?.blur();
    getSelection()?.collapse(document.body, 0);
    window.before = null;
  });
  for (let presses = 0; presses < 200; presses += 1) {
    await page.keyboard.press("Tab");
    const found = await page.evaluate(`(${has_keyboard})(${isSeen})`);
    if (found.end) return [...faults];
    if (found.same && !/^input/.test(found.name)) return [...faults, `the keyboard does not get away from ${found.name}`];
    if (!found.follows && !found.same) faults.add(`the keyboard jumps back to ${found.name}`);
    if (!found.seen) faults.add(`${found.name} has the keyboard and does not show it`);
  }
  return [...faults];
}

/** Runs in the page: what has the keyboard now, and how it lies to what had it before. */
function has_keyboard(is_seen) {
  const element = document.activeElement;
  const before = window.before;
  window.before = element;
  // The first stop comes again when the browser has no bar of its own to go on to.
  if (element === document.body || element === null || (element.className === "skip" && before)) return { end: true };
  const words = (element.textContent || element.name || "").trim().slice(0, 30);
  const name = `${element.tagName.toLowerCase()}${element.id && `#${element.id}`} "${words}"`;
  const follows = !before || before.compareDocumentPosition(element) & Node.DOCUMENT_POSITION_FOLLOWING;
  return { name, follows: Boolean(follows), seen: is_seen(element), same: element === before };
}

/** Whether the page is wider than its window; what is wide scrolls in a box of its own. */
async function fits(page, says) {
  const sizes = await page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.scrollingElement;
    const out = [...document.querySelectorAll("main *")].find((one) => {
      const box = one.getBoundingClientRect();
      return box.right > clientWidth + 1 && !one.closest(".wide, .visually-hidden, svg, pre");
    });
    return { scrollWidth, clientWidth, out: out?.outerHTML.slice(0, 100) };
  });
  const { scrollWidth, clientWidth, out } = sizes;
  return scrollWidth > clientWidth ? [`${says}: ${scrollWidth} wide in ${clientWidth}${out ? `, as by ${out}` : ""}`] : [];
}

/** Narrow, zoomed, with letters twice as large, with the system's own colours, without movement. */
async function circumstances(page, size) {
  const faults = [];
  await page.setViewportSize({ width: 320, height: 640 });
  faults.push(...(await fits(page, "at 320 pixels")));
  // Zooming to 200% halves the window as the page sees it.
  await page.setViewportSize({ width: SCREEN.width / 2, height: SCREEN.height / 2 });
  faults.push(...(await fits(page, "zoomed to 200%")));
  await page.setViewportSize({ width: 640, height: 640 });
  const session = await page.context().newCDPSession(page);
  await session.send("Page.setFontSizes", { fontSizes: { standard: 32 } });
  faults.push(...(await fits(page, "with letters twice as large")));
  await session.send("Page.setFontSizes", { fontSizes: { standard: 16 } });
  await session.detach();
  await page.setViewportSize(size);
  await page.emulateMedia({ forcedColors: "active", reducedMotion: "reduce" });
  faults.push(...(await page.evaluate(forced_colours)));
  await page.emulateMedia({ forcedColors: null, reducedMotion: null });
  return faults;
}

/** Runs in the page: with colours taken over by the system, buttons are told by their edge, and nothing moves. */
function forced_colours() {
  const faults = [];
  for (const button of document.querySelectorAll("button:not(.plain), .button")) {
    const style = getComputedStyle(button);
    const edged = style.borderTopStyle !== "none" && Number.parseFloat(style.borderTopWidth) > 0;
    if (!edged) faults.push(`with forced colours, the button "${button.textContent.trim()}" has no edge`);
  }
  const moving = document.getAnimations().filter((one) => one.effect?.getComputedTiming().duration > 1);
  if (moving.length > 0) faults.push("something moves though movement is not wanted");
  return faults;
}

/** Everything that is wrong with the page as it stands. */
export async function faults(page, { axe, notes, size = SCREEN, thorough = true }) {
  const found = [...(await hindrances(page, axe, notes)), ...(await headings(page))];
  // A paper has no head to be led past, and nothing on it is worked.
  if (thorough === true) found.push(...(await skip_link(page)), ...(await tab_order(page)));
  if (thorough) found.push(...(await circumstances(page, size)));
  return found;
}

/** The same, and it must be nothing. */
export async function holds(page, tools, says) {
  const found = await faults(page, tools);
  assert.deepEqual(found, [], `${says}: ${new URL(page.url()).pathname}`);
}
