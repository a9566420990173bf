// The scaler: enters a ticket, reads its scale, corrects it, takes its paper; with the keyboard alone, and without script.
import assert from "node:assert/strict";

import { api } from "./api.mjs";
import { open, PHONE } from "./browser.mjs";
import { faults } from "./checks.mjs";
import { arrive, keyboard, pointer, said, sign_in } from "./hands.mjs";
import { holds_number } from "./paper.mjs";

export const title = "The scaler enters a ticket, corrects it, and takes its paper";

const LOGS = [
  { species: "white pine", small_1: "14", length: "16", length_in: "4" },
  { species: "hemlock", small_1: "11.5", length: "12", length_in: "4" },
];

/** Types a log and puts it on the ticket. */
async function add(hand, sizes, place) {
  for (const [field, text] of Object.entries(sizes)) await hand.fill(`#${field}`, text);
  await hand.press("#do-add");
  await hand.page.locator(`#stick-${place}`).waitFor();
}

async function fill_head(hand, book) {
  await hand.fill("#book", book);
  await hand.fill("#number", "1");
  await hand.choose("#landing_id", "North landing, Tamarack tract");
  await hand.fill("#scaler", "Ida Holmquill");
  await hand.choose("#crew_felling", "First felling crew");
}

/** Looks the ticket over and posts it, as the page offers it with script and without; answers its page. */
async function post(hand, script) {
  await hand.press("#do-look");
  if (!script) {
    await hand.page.locator("#do-post").waitFor();
    await arrive(hand, "#do-post");
    return;
  }
  await hand.press("#do-finish");
  await hand.page.locator("#yard-signal", { hasText: "0 waiting" }).filter({ hasText: /[1-9] sent/ }).waitFor();
}

/** The ticket's page says what the API says of it. */
async function compare(page, house, ticket) {
  const view = await api(house, "manager").get(`/v1/tickets/${ticket.ticket_id}`);
  await page.goto(`/desk/yard/tickets/${ticket.ticket_id}`);
  const text = await said(page);
  const figures = view.scaled.flatMap(({ pieces }) => pieces.flatMap(({ gross, net }) => [gross, net]));
  const missing = figures.filter((figure) => figure && !holds_number(text, figure));
  assert.deepEqual(missing, []);
  assert.equal(await page.locator("#measured li").count(), view.ticket.pieces.length);
  return { view, figures: figures.filter(Boolean).length };
}

async function standing(house, book) {
  const all = await api(house, "manager").all(`/v1/tickets?book=${book}`);
  return all.sort((left, right) => left.ticket.number - right.ticket.number);
}

async function correct(hand, house, script, book, ticket) {
  const { page } = hand;
  await page.goto(`/desk/yard/tickets/${ticket.ticket_id}`);
  await arrive(hand, "#correct");
  if (script) await page.locator("#yard[data-ready]").waitFor();
  await hand.fill("#reason", "the second stick was misread");
  await hand.press("[aria-label='Correct stick 2']");
  await page.waitForFunction(() => document.querySelector("#small_1")?.value === "11.5");
  await hand.fill("#small_1", "12.5");
  await hand.press("#do-add");
  await page.locator("#stick-2", { hasText: "12.5" }).waitFor();
  await hand.press("#do-look");
  await arrive(hand, script ? "#do-finish" : "#do-post");
  if (script) await page.locator("#yard-signal", { hasText: "0 waiting" }).waitFor();
  const [wrong, right] = await standing(house, book);
  assert.deepEqual([wrong.state, right?.state], ["corrected", "standing"]);
  assert.equal(right.correction_reason, "the second stick was misread");
  return right;
}

async function enter(tools, { hands, script, book }) {
  const { running, house, say } = tools;
  const window = await open(running, house, { size: PHONE, script });
  const { page } = window;
  const hand = hands(page);
  await sign_in(hand, house, "scaler", "/desk/yard");
  if (script) await page.locator("#yard[data-ready]").waitFor();
  await fill_head(hand, book);
  for (const [at, log] of LOGS.entries()) await add(hand, log, at + 1);
  if (script) await page.locator("#totals strong").first().waitFor();
  const running_scale = await said(page, "#totals");
  await post(hand, script);
  const [ticket] = await standing(house, book);
  assert.equal(ticket.ticket.pieces.length, LOGS.length);
  assert.equal(ticket.accepted_by, house.people.scaler.name);
  const { figures } = await compare(page, house, ticket);
  const right = await correct(hand, house, script, book, ticket);
  await compare(page, house, right);
  if (script) assert.deepEqual(await faults(page, { ...tools, size: PHONE }), []);
  const link = page.locator("a[href*='/desk/papers/']").first();
  const paper = (await link.count()) > 0 ? "its paper is linked to" : "its page links to no paper";
  await window.close();
  say(`${script ? "with the keyboard alone" : "without script"}: ${running_scale}; ${figures} figures as the API's; corrected; ${paper}`);
}

/** Enters tickets, both ways. */
export async function run(tools) {
  await enter(tools, { hands: pointer, script: false, book: "J1" });
  await enter(tools, { hands: keyboard, script: true, book: "J2" });
}
