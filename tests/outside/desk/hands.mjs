// How somebody works a page: with mouse or finger, or with the keyboard alone. A journey is the same for both.
import assert from "node:assert/strict";

/** More presses of the tab key than any page should need. */
const MOST = 400;

/** Mouse, or finger. */
export function pointer(page) {
  return {
    manner: "pointer",
    page,
    fill: async (field, text) => page.locator(field).first().fill(text),
    choose: async (field, label) => page.locator(field).first().selectOption({ label }),
    tick: async (field) => page.locator(field).first().check(),
    press: async (what) => page.locator(what).first().click(),
  };
}

/** The keyboard alone: whatever is to be worked must be reached with the tab key, and be seen to be. */
export function keyboard(page) {
  const reach = async (what) => {
    const wanted = await page.locator(what).first().elementHandle();
    for (let presses = 0; presses < MOST; presses += 1) {
      const there = await wanted.evaluate((element) => element === document.activeElement);
      if (there) {
        const seen = await wanted.evaluate(isSeen);
        assert.ok(seen, `${what} has the keyboard and does not show it`);
        return;
      }
      await page.keyboard.press("Tab");
    }
    assert.fail(`${what} cannot be reached with the keyboard on ${page.url()}`);
  };
  return {
    manner: "keyboard",
    page,
    fill: async (field, text) => {
      await reach(field);
      await page.keyboard.press("ControlOrMeta+A");
      const type = await page.locator(field).first().getAttribute("type");
      // A day is typed part by part, as the browser's language orders them.
      const [year, month, day] = text.split("-");
      await page.keyboard.type(type === "date" ? `${month}${day}${year}` : text);
    },
    choose: async (field, label) => {
      await reach(field);
      await page.keyboard.type(label);
    },
    tick: async (field) => {
      await reach(field);
      await page.keyboard.press("Space");
    },
    press: async (what) => {
      await reach(what);
      await page.keyboard.press("Enter");
    },
  };
}

/** Whether an element that has the keyboard can be seen to have it. */
export function isSeen(element) {
  const style = getComputedStyle(element);
  const ringed = style.outlineStyle !== "none" && Number.parseFloat(style.outlineWidth) > 0;
  const box = element.getBoundingClientRect();
  return ringed && box.width > 0 && box.height > 0;
}

/** Signs in through the page; `next` is a page of the desk to go on to. */
export async function sign_in(hand, house, role, next) {
  const { name, password } = house.people[role];
  const query = new URLSearchParams({ outfit: house.outfit, ...(next ? { next } : {}) });
  await hand.page.goto(`/desk/sign-in?${query}`);
  await hand.fill("#name", name);
  await hand.fill("#password", password);
  await arrive(hand, "main button[type=submit]");
  assert.ok(!hand.page.url().includes("/sign-in"), `${role} is not let in: ${await hand.page.locator("main").innerText()}`);
}

/** Presses what leads to another page, and waits for that. */
export async function arrive(hand, what) {
  const load = hand.page.waitForEvent("load").catch(async () => {
    const holder = await hand.page.evaluate(() => document.activeElement?.outerHTML.slice(0, 120));
    assert.fail(`${what} leads nowhere on ${hand.page.url()}; ${holder} has the keyboard: ${await said(hand.page)}`);
  });
  await Promise.all([load, hand.press(what)]);
}

/** The text of a part of the page with single blanks. */
export async function said(page, where = "main") {
  const text = await page.locator(where).first().innerText();
  return text.replaceAll(/\s+/g, " ").trim();
}
