#!/usr/bin/env node
// The pictures of README, made anew from the demonstration's data: services/desk/pictures/*.png.
//
//     node tests/outside/desk/screenshots.mjs [folder]            another folder than that, to look at them first
import { mkdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";

import { api } from "./api.mjs";
import { launch, open, PHONE, SCREEN } from "./browser.mjs";
import { from_the_yard, WEEK } from "./bookkeeper.mjs";
import { arrive, pointer, sign_in } from "./hands.mjs";
import { browser, NotHere, packages, ROOT } from "./programs.mjs";
import { build, start } from "./service.mjs";

const FOLDER = resolve(process.argv[2] ?? join(ROOT, "services", "desk", "pictures"));
/** A picture that is larger loads slowly where signal is poor. */
const MOST_BYTES = 60_000;
/** The desk is black and white, so this many greys show it well. */
const GREYS = 16;

/** A picture in few greys. */
function reduced(PNG, bytes) {
  const picture = PNG.sync.read(bytes);
  const step = 255 / (GREYS - 1);
  for (let at = 0; at < picture.data.length; at += 4) {
    const [red, green, blue] = picture.data.subarray(at, at + 3);
    const grey = Math.round(Math.round(0.299 * red + 0.587 * green + 0.114 * blue) / step) * step;
    picture.data.fill(grey, at, at + 3);
  }
  return PNG.sync.write(picture, { colorType: 0, inputColorType: 6, filterType: 0, deflateLevel: 9 });
}

/** A ticket on its way, with its running scale; never posted. */
async function entering(page) {
  const hand = pointer(page);
  await page.goto("/desk/yard");
  await page.locator("#yard[data-ready]").waitFor();
  await hand.fill("#book", "N");
  // Leaving the book proposes the next number.
  await page.press("#book", "Tab");
  await page.waitForFunction(() => document.getElementById("number").value !== "");
  await hand.choose("#landing_id", "North landing, Tamarack tract");
  await hand.fill("#scaler", "Ida Holmquill");
  await hand.fill("#scaled_on", "2025-05-19");
  await hand.choose("#crew_felling", "First felling crew");
  const logs = [["white pine", "14", "16", "4"], ["white pine", "11.5", "14", "4"], ["hemlock", "17", "12", "3"]];
  for (const [at, [species, small, feet, inches]] of logs.entries()) {
    const sizes = { species, small_1: small, length: feet, length_in: inches };
    for (const [field, text] of Object.entries(sizes)) await hand.fill(`#${field}`, text);
    await hand.press("#do-add");
    await page.locator(`#stick-${at + 1}`).waitFor();
  }
  await page.locator("#totals strong").first().waitFor();
}

/** A week that something blocks. */
async function blocked(page, house) {
  yard = await from_the_yard(house);
  await page.goto(`/desk/week/${WEEK}`);
  await arrive(pointer(page), "#preview-now");
}

/** The same week, previewed again after a correction. */
async function differing(page) {
  await yard.correct();
  await page.goto(`/desk/week/${WEEK}`);
  await arrive(pointer(page), "#preview-now");
}

/** What the scaler of the week's pictures goes on with. */
let yard;

const DAYS = "from=2025-05-04&to=2025-05-17";
const go_to = (path) => (page) => page.goto(path);

/** What is shown, in the order of README: its file, who sees it, how large, how one comes there, and from where on. */
const PICTURES = [
  { file: "yard.png", role: "scaler", size: PHONE, go: entering },
  { file: "running-scale.png", role: "scaler", size: PHONE, go: entering, from: "#sticks-title", height: 560 },
  { file: "week-blocked.png", role: "bookkeeper", size: SCREEN, go: blocked, height: 700 },
  { file: "week-differences.png", role: "bookkeeper", size: SCREEN, go: differing, from: "#differences", height: 620 },
  { file: "audit.png", role: "contractor", size: SCREEN, go: go_to(`/desk/audit?${DAYS}`), from: "main section h2", width: 680, height: 760 },
  { file: "statement.png", role: "bookkeeper", size: SCREEN, go: statement, height: 1000 },
];

/** A statement as it is handed over, asked for with the bookkeeper's token. */
async function statement(page, house) {
  await page.setExtraHTTPHeaders({ Authorization: `Bearer ${house.tokens.bookkeeper}` });
  const books = api(house, "bookkeeper");
  const [settlement] = (await books.all("/v1/settlements?posted=true")).slice(-1);
  const [first] = await books.all(`/v1/statements?settlement_id=${settlement.settlement_id}`);
  await page.goto(`/v1/statements/${first.statement_id}?format=html`);
}

async function main() {
  const program = browser();
  const { chromium, PNG } = packages();
  build();
  mkdirSync(FOLDER, { recursive: true });
  const house = await start();
  const running = await launch(chromium, program);
  try {
    for (const { file, role, size, go, from, width = size.width, height = size.height } of PICTURES) {
      const { page, close } = await open(running, house, { size, expected: [/./] });
      await sign_in(pointer(page), house, role);
      await go(page, house);
      const place = (element) => element.getBoundingClientRect().top + window.scrollY - 16;
      const top = from ? await page.locator(from).first().evaluate(place) : 0;
      const clip = { x: 0, y: Math.max(0, top), width, height };
      const bytes = reduced(PNG, await page.screenshot({ clip, fullPage: true, animations: "disabled", caret: "hide" }));
      if (bytes.length > MOST_BYTES) throw new Error(`${file} has ${bytes.length} bytes, at most ${MOST_BYTES}`);
      writeFileSync(join(FOLDER, file), bytes);
      console.log(`${file}: ${bytes.length} bytes`);
      await close();
    }
  } finally {
    await running.close();
    await house.stop();
  }
}

try {
  await main();
} catch (fault) {
  if (!(fault instanceof NotHere)) throw fault;
  console.log(`skipped: ${fault.message}`);
}
