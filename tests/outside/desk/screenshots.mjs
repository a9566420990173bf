#!/usr/bin/env node
// The pictures of README, made anew from the demonstration's data: services/desk/pictures/*.png.
//
//     node tests/outside/desk/screenshots.mjs [folder]            another folder than that, to look at them first
import { mkdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";

import { launch, open, PHONE, SCREEN } from "./browser.mjs";
import { pointer, sign_in } from "./hands.mjs";
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

/** What is shown, in the order of README: its file, who sees it, how large, and how one comes there. */
const PICTURES = [
];

async function main() {
  const program = browser();
  const { chromium, PNG } = packages();
  build();
  mkdirSync(FOLDER, { recursive: true });
  const house = await start();
  const running = await launch(chromium, program);
  try {
    for (const { file, role, size, go, height = size.height } of PICTURES) {
      const { page, close } = await open(running, house, { size });
      await sign_in(pointer(page), house, role);
      await go(page, house);
      const clip = { x: 0, y: 0, width: size.width, height };
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
