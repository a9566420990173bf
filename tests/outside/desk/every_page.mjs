// Every page that a role can come to by links, from where its work begins: nothing hinders anybody, no link is dead.
import assert from "node:assert/strict";

import { answered, open, PHONE, SCREEN } from "./browser.mjs";
import { faults } from "./checks.mjs";
import { pointer, sign_in } from "./hands.mjs";

export const title = "Every page of every role can be read and worked by everybody";

const ROLES = ["scaler", "bookkeeper", "contractor", "mill"];
/** Pages that differ only in which ticket, week or statement they show are looked at this often; all their links are asked for. */
const OF_A_KIND = 1;
/** Links of one kind that are asked for. */
const ASKED_FOR = 4;

/** What pages of a kind have in common: the path without ids, days and numbers, and the form. */
function kind(address) {
  const { pathname, searchParams } = new URL(address);
  const path = pathname.replaceAll(/[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}|\d{4}-\d\d-\d\d|\/\d+(?=[/.]|$)/g, "…");
  const one_of = path.replace(/(\/exceptions\/)\w+$/, "$1…");
  return `${one_of} ${searchParams.get("format") ?? ""}`;
}

/** The links of a page that stay within the service, without the place within a page. */
async function links(page) {
  const found = await page.locator("a[href]").evaluateAll((all) => all.map((one) => one.href.split("#")[0]));
  return [...new Set(found)].filter((link) => new URL(link).origin === new URL(page.url()).origin);
}

async function looked_at(page, tools, size, thorough) {
  const paper = thorough && new URL(page.url()).pathname.startsWith("/desk/papers/");
  const found = await faults(page, { ...tools, size, thorough: paper ? "paper" : thorough });
  const closed = page.locator("details:not([open])");
  if ((await closed.count()) > 0) {
    await closed.evaluateAll((all) => all.forEach((one) => one.setAttribute("open", "")));
    const opened = await faults(page, { ...tools, size, thorough: false });
    found.push(...opened.map((fault) => `with everything opened, ${fault}`));
  }
  return found;
}

/** Goes through all pages of a role; answers how many, and what is wrong with them. */
async function through(role, size, tools, thorough) {
  const { running, house } = tools;
  const { page, context, complaints, close } = await open(running, house, { size });
  await sign_in(pointer(page), house, role);
  const waiting = [page.url()];
  const known = new Set(waiting);
  const seen = new Map();
  const wrong = [];
  let pages = 0;
  for (let address = waiting.shift(); address; address = waiting.shift()) {
    const number = (seen.get(kind(address)) ?? 0) + 1;
    seen.set(kind(address), number);
    if (number > ASKED_FOR) continue;
    const answer = await context.request.get(address);
    const type = answer.headers()["content-type"] ?? "";
    if (!answer.ok()) wrong.push(`${address} is linked to and answers ${answer.status()}`);
    if (number > OF_A_KIND || !answer.ok() || !type.startsWith("text/html")) continue;
    await page.goto(address);
    pages += 1;
    for (const link of await links(page)) {
      if (!known.has(link)) waiting.push(link);
      known.add(link);
    }
    const found = await looked_at(page, tools, size, thorough);
    wrong.push(...found.map((fault) => `${new URL(address).pathname} (${role}, ${size.width}): ${fault}`));
  }
  // What the browser complained of is told with the rest, so that one run tells everything.
  wrong.push(...complaints.splice(0).map((complaint) => `${complaint} (${role}, ${size.width})`));
  await close();
  return { pages, wrong };
}

/** Pages that nobody is led to. */
async function off_the_way(tools) {
  const { running, house } = tools;
  const wrong = [];
  const expected = [answered(403), answered(404)];
  for (const [role, path] of [["scaler", "/desk/week"], ["mill", "/desk/yard"], ["contractor", "/desk/nothing"]]) {
    const { page, close } = await open(running, house, { expected });
    await sign_in(pointer(page), house, role);
    const answer = await page.goto(path);
    assert.ok([403, 404].includes(answer.status()), `${path} answers ${answer.status()} to the ${role}`);
    wrong.push(...(await faults(page, tools)).map((fault) => `${path} (${role}): ${fault}`));
    await close();
  }
  return wrong;
}

/** Goes through all pages, at both sizes. */
export async function run(tools) {
  const wrong = await off_the_way(tools);
  for (const role of ROLES) {
    const both = await Promise.all([through(role, SCREEN, tools, true), through(role, PHONE, tools, false)]);
    tools.say(`${role}: ${both[0].pages} kinds of pages on a screen, ${both[1].pages} on a phone`);
    wrong.push(...both.flatMap((one) => one.wrong));
  }
  assert.deepEqual([...new Set(wrong)], []);
}
