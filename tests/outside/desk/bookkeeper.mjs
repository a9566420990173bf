// The bookkeeper: what blocks the week, setting it aside, preview, what changed by a correction, posting, statement and its paper.
import assert from "node:assert/strict";

import { api } from "./api.mjs";
import { open, SCREEN } from "./browser.mjs";
import { faults } from "./checks.mjs";
import { arrive, keyboard, said, sign_in } from "./hands.mjs";
import { compared, pdf_text, single } from "./paper.mjs";

export const title = "The bookkeeper settles a week, from what blocks it to the statement on paper";

/** The demonstration has settled the two weeks before. */
export const WEEK = "2025-05-24";

/** A ticket from the yard with a pole that no rate of its contract covers, and a log. */
export async function from_the_yard(house) {
  const scaler = api(house, "scaler");
  const [job] = await scaler.all("/v1/jobs");
  const crews = await scaler.all("/v1/crews");
  const crew = crews.find(({ name }) => name === "Second felling crew");
  const ticket = {
    book: "K",
    number: 1,
    job_id: job.job_id,
    landing_id: job.landings[0].landing_id,
    scaled_on: "2025-05-20",
    scaler: "Ida Holmquill",
    work: [{ task: "felling", crew_id: crew.crew_id }],
    pieces: [
      { product: "pole", species: "cedar", length_ft: "35" },
      { product: "log", species: "white pine", small_diameter_in: ["18"], length_ft: "16", length_in: "4" },
    ],
  };
  const posted = await scaler.post("/v1/tickets", ticket);
  const correction = { ...ticket, number: 2, pieces: [{ ...ticket.pieces[1], small_diameter_in: ["20"] }] };
  return {
    correct: () =>
      scaler.post(`/v1/tickets/${posted.ticket_id}/corrections`, { reason: "the log was misread", ticket: correction }),
  };
}

async function statement(page, house, say) {
  const books = api(house, "bookkeeper");
  const settlement = (await books.all("/v1/settlements?posted=true")).find((one) => one.week_ends_on === WEEK);
  const [first] = await books.all(`/v1/statements?settlement_id=${settlement.settlement_id}`);
  const reply = await books.get(`/v1/statements/${first.statement_id}`);
  const left_out = ["/pay/total"];
  await page.goto(`/desk/statements/${first.statement_id}`);
  assert.deepEqual(compared(single(await said(page)), reply, left_out).missing, [], "the statement's page");
  const link = await page.locator("main a[href^='/desk/papers/statements/'][href*='.pdf']").first().getAttribute("href");
  const answer = await page.request.get(link);
  assert.equal(answer.status(), 200);
  const text = pdf_text(await answer.body());
  const { missing, there } = text === undefined ? { missing: [], there: 0 } : compared(text, reply, left_out);
  assert.deepEqual(missing, [], "the statement as PDF");
  say(`the statement of ${WEEK}: ${there} amounts of its PDF document as the API's`);
}

/** Settles. */
export async function run(tools) {
  const { running, house, say } = tools;
  const yard = await from_the_yard(house);
  const { page, close } = await open(running, house, { size: SCREEN });
  const hand = keyboard(page);
  await sign_in(hand, house, "bookkeeper", `/desk/week/${WEEK}`);
  await arrive(hand, "#preview-now");
  assert.equal(await page.locator("#blocks").count(), 1, "what blocks the week is shown");
  assert.deepEqual(await faults(page, tools), []);
  await hand.tick("[id^=aside-]");
  await hand.fill("#set-aside #reason", "the pole went to the outfit's own bridge");
  await arrive(hand, "#set-aside-now");
  assert.equal(await page.locator("#set-aside").count(), 0, "nothing blocks it any more");
  await arrive(hand, "#preview-now");
  assert.deepEqual(await faults(page, tools), []);
  await yard.correct();
  await page.goto(`/desk/week/${WEEK}`);
  await arrive(hand, "#preview-now");
  assert.equal(await page.locator("#differences").count(), 1, "what changed since the preview before");
  assert.deepEqual(await faults(page, tools), []);
  await arrive(hand, "#to-posting");
  await arrive(hand, "#post-now");
  await page.goto(`/desk/week/${WEEK}`);
  assert.equal(await page.locator("#again").count(), 1, "the week is posted");
  say("blocked, set aside, previewed, corrected, previewed with the differences, posted; with the keyboard alone");
  await statement(page, house, say);
  await close();
}
