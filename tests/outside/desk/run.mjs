#!/usr/bin/env node
// The desk in a real browser: the journeys of the three people from signing in to paper, and what holds for every page.
//
//     node tests/outside/desk/run.mjs [journey …]            all of them when none is named
//
// The service is the demonstration's, in a database that vanishes. Where Chromium, Node's packages or their registry are not
// to be had, this says so and ends well. SKIDWAY_DESK_SECONDS is how long all of it may take.
import { launch } from "./browser.mjs";
import { browser, NotHere, packages } from "./programs.mjs";
import { build, start } from "./service.mjs";

/** In this order: what comes later finds in the books what came before. */
const JOURNEYS = ["door", "scaler", "yard_offline", "bookkeeper", "contractor", "every_page", "papers"];

const MOST_SECONDS = Number(process.env.SKIDWAY_DESK_SECONDS ?? 600);

async function journey(name, tools) {
  const { title, run } = await import(`./${name}.mjs`);
  const begun = Date.now();
  const lines = [];
  const told = (mark) => {
    console.log(`${mark} ${title} (${((Date.now() - begun) / 1000).toFixed(1)} s)`);
    for (const line of lines) console.log(`    ${line}`);
  };
  try {
    await run({ ...tools, say: (line) => lines.push(line) });
    told("done  ");
    return true;
  } catch (fault) {
    told("FAILED");
    console.log(`    ${String(fault.stack ?? fault).replaceAll("\n", "\n    ")}`);
    return false;
  }
}

async function main() {
  const unknown = process.argv.slice(2).filter((name) => !JOURNEYS.includes(name));
  if (unknown.length > 0) throw new Error(`there is no journey ${unknown}; there are ${JOURNEYS}`);
  const wanted = process.argv.length > 2 ? process.argv.slice(2) : JOURNEYS;
  const program = browser();
  const { chromium, axe } = packages();
  build();
  const notes = new Set();
  let running;
  let house;
  try {
    house = await start();
    running = await launch(chromium, program);
    console.log(`Chromium ${running.version()}, the demonstration at ${house.address}`);
    let good = true;
    for (const name of wanted) good = (await journey(name, { running, house, axe, notes })) && good;
    for (const note of notes) console.log(`noted   ${note}`);
    return good;
  } finally {
    await running?.close();
    await house?.stop();
  }
}

// Whatever hangs, this ends; the service and the browser end with it, because their pipes close.
const limit = setTimeout(() => {
  console.log(`FAILED it took more than ${MOST_SECONDS} seconds`);
  process.exit(1);
}, MOST_SECONDS * 1000);
try {
  process.exitCode = (await main()) ? 0 : 1;
} catch (fault) {
  if (!(fault instanceof NotHere)) throw fault;
  console.log(`skipped: ${fault.message}`);
} finally {
  clearTimeout(limit);
}
