// The contractor: reads the audit with its charts, follows figures down, checks exceptions, keeps a seal and verifies it.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

import { api } from "./api.mjs";
import { open, SCREEN } from "./browser.mjs";
import { arrive, keyboard, pointer, said, sign_in } from "./hands.mjs";
import { pdf_text, single, strange } from "./paper.mjs";
import { skid } from "./service.mjs";

export const title = "The contractor holds volume against pay, follows it down, and keeps a seal";

const DAYS = "from=2025-05-04&to=2025-05-17";

/** The audit with its charts says what the API says. */
async function audit(hand, house, say) {
  const { page } = hand;
  await page.goto(`/desk/audit?${DAYS}`);
  const reply = await api(house, "contractor").get(`/v1/reports/audit?${DAYS}`);
  const tables = single((await page.locator("main table").allInnerTexts()).join(" "));
  const { strangers, there } = strange(tables, reply);
  assert.deepEqual(strangers, [], "figures that are not the API's");
  const charts = await page.locator("main figure svg").count();
  assert.ok(charts > 0, "there are charts");
  say(`the audit: ${charts} charts, ${there} figures of their tables as the API's`);
}

/** From the audit down to a stick and its working. */
async function follow(hand, house, say) {
  const { page } = hand;
  await page.goto(`/desk/audit?${DAYS}`);
  await arrive(hand, "main table a[href*='/desk/audit/tickets']");
  const list = page.url();
  await arrive(hand, "main a[href*='/desk/audit/tickets/']");
  const ticket = page.url().match(/tickets\/([0-9a-f-]{36})/)[1];
  const view = await api(house, "contractor").get(`/v1/tickets/${ticket}`);
  const text = await said(page);
  assert.ok(text.includes(String(view.ticket.number)), "the ticket's page names it");
  assert.notEqual(list, page.url());
  say(`down from a figure to ticket ${view.ticket.book} ${view.ticket.number}`);
}

async function exceptions(hand, house, say) {
  const { page } = hand;
  await page.goto(`/desk/audit/exceptions?${DAYS}`);
  const all = await api(house, "contractor").all(`/v1/audit/exceptions?${DAYS}`);
  const text = await said(page);
  const numbers = [...new Set(JSON.stringify(all).match(/"kind":"\w+"/g))];
  const named = numbers.filter((one) => text.toLowerCase().includes(one.slice(8, -1).replaceAll("_", " ")));
  say(`${all.length} exceptions of ${numbers.length} kinds, ${named.length} of the kinds named on the page in the API's words`);
  assert.ok(all.length > 0 && (await page.locator("main a[href*='/desk/audit/']").count()) > 0);
  await page.goto("/desk/audit/check-scales");
  await arrive(hand, "main table a[href*='/desk/audit/check-scales/']");
  const shown = await api(house, "contractor").get(`/v1/check-scales/${page.url().split("/").at(-1)}`);
  const { strangers } = strange(single((await page.locator("main table").allInnerTexts()).join(" ")), shown);
  assert.deepEqual(strangers, [], "figures of the check scale that are not the API's");
}

/** Keeps a seal's files from the page and verifies them with the program, which asks nobody. */
async function keep_a_seal(hand, say) {
  const { page } = hand;
  await page.goto("/desk/audit/seals");
  await page.locator("main table a[href*='/desk/audit/seals/']").last().click();
  await page.waitForURL(/seals\/[0-9a-f-]{36}/);
  const folder = mkdtempSync(join(tmpdir(), "skidway-seal-"));
  try {
    const key = (await said(page)).match(/Public key ([0-9a-f]{64})/)[1];
    for (const [link, file] of [["#seal-file", "seal.json"], ["#records-file", "records.ndjson"]]) {
      const [download] = await Promise.all([page.waitForEvent("download"), hand.press(link)]);
      await download.saveAs(join(folder, file));
    }
    const files = ["--seal", join(folder, "seal.json"), "--records", join(folder, "records.ndjson"), "--key", key];
    const shown = execFileSync(skid, ["verify", ...files], { encoding: "utf8", env: {} });
    say(`a seal and its records kept from the page, and verified offline: ${single(shown).slice(0, 90)}…`);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

async function take_the_paper(page, house, say) {
  await page.goto(`/desk/audit?${DAYS}`);
  const answer = await page.request.get(await page.locator("#paper-pdf").getAttribute("href"));
  assert.equal(answer.status(), 200, "the report as PDF");
  const text = pdf_text(await answer.body());
  const { strangers, there } = strange(text ?? "", await api(house, "contractor").get(`/v1/reports/audit?${DAYS}`));
  assert.deepEqual(strangers, []);
  say(text === undefined ? "the report is a PDF document" : `the report as PDF: ${there} figures as the API's`);
}

/** Audits. */
export async function run({ running, house, say }) {
  for (const [hands, script] of [[keyboard, true], [pointer, false]]) {
    const { page, close } = await open(running, house, { size: SCREEN, script });
    const hand = hands(page);
    await sign_in(hand, house, "contractor");
    await audit(hand, house, say);
    await follow(hand, house, say);
    await exceptions(hand, house, say);
    await keep_a_seal(hand, say);
    await take_the_paper(page, house, say);
    await close();
  }
}
