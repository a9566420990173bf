// The papers as the API hands them out: pages that everybody can read, PDF documents with the API's figures.
import assert from "node:assert/strict";

import { api } from "./api.mjs";
import { open, PHONE, SCREEN } from "./browser.mjs";
import { faults } from "./checks.mjs";
import { compared, holds_number, pdf_text, single, strange } from "./paper.mjs";

export const title = "Every paper can be read by everybody, and says what the API says";

/** One address of each kind of paper. */
async function papers(books) {
  const [settlement] = (await books.all("/v1/settlements?posted=true")).slice(-1);
  const statements = await books.all(`/v1/statements?settlement_id=${settlement.settlement_id}`);
  const [ticket] = await books.all("/v1/tickets");
  const crew = (await books.all("/v1/crews"))[0];
  const mill = statements.find(({ payee }) => JSON.stringify(payee).includes("mill"));
  return {
    statement: `/v1/statements/${statements[0].statement_id}`,
    "statement of a mill": mill && `/v1/statements/${mill.statement_id}`,
    "scale ticket": `/v1/tickets/${ticket.ticket_id}`,
    "sheet of a crew": `/v1/settlements/${settlement.settlement_id}/crews/${crew.crew_id}`,
    report: "/v1/reports/audit?from=2025-05-04&to=2025-05-17",
  };
}

/** What replies have and papers do not: sums whose parts stand on the paper. */
const LEFT_OUT = {
  statement: ["/pay/total"],
};

const of = (path, format) => `${path}${path.includes("?") ? "&" : "?"}format=${format}`;

/** The page of a paper at both widths; answers what is wrong with it. */
async function page_of(name, path, tools) {
  const { running, house } = tools;
  const wrong = [];
  for (const size of [SCREEN, PHONE]) {
    const extraHTTPHeaders = { Authorization: `Bearer ${house.tokens.bookkeeper}` };
    const { page, complaints, close } = await open(running, house, { size, extraHTTPHeaders });
    const answer = await page.goto(of(path, "html"));
    assert.equal(answer.status(), 200, name);
    const found = await faults(page, { ...tools, size, thorough: "paper" });
    wrong.push(...[...found, ...complaints.splice(0)].map((fault) => `${name} (${size.width}): ${fault}`));
    await close();
  }
  return wrong;
}

/** What a paper says beside the reply it was made of. A report says less than the reply, but nothing else. */
function held_against(name, text, reply) {
  if (name === "report") {
    const { strangers, there } = strange(text, reply);
    return { faults: strangers.map((one) => `${one} is not the API's`), there };
  }
  if (name === "scale ticket") {
    const volumes = reply.scaled.flatMap(({ pieces }) => pieces.flatMap(({ gross, net }) => [gross, net])).filter(Boolean);
    const absent = volumes.filter((volume) => !holds_number(text, volume));
    return { faults: absent.map((volume) => `${volume} is missing`), there: volumes.length - absent.length };
  }
  const { missing, there } = compared(text, reply, LEFT_OUT[name]);
  return { faults: missing.map((one) => `${one} is missing`), there };
}

/** Looks at all papers. */
export async function run(tools) {
  const { house, say } = tools;
  const books = api(house, "bookkeeper");
  const wrong = [];
  for (const [name, path] of Object.entries(await papers(books))) {
    if (path === undefined) throw new Error(`there is no ${name}`);
    wrong.push(...(await page_of(name, path, tools)));
    const reply = await books.get(path);
    const markup = await books.text(of(path, "html"));
    // What stands along the axes of a chart is no figure of the books; its figures stand in a table too.
    const shown = single(markup.replaceAll(/<(svg|style).*?<\/\1>/gs, " ").replaceAll(/<[^>]+>/g, " "));
    const written = pdf_text(await books.bytes(of(path, "pdf")));
    for (const [form, text] of [["page", shown], ["PDF document", written]].filter(([, text]) => text !== undefined)) {
      const { faults: found, there } = held_against(name, text, reply);
      wrong.push(...found.map((fault) => `${name} as a ${form}: ${fault}`));
      say(`${name} as a ${form}: ${there} figures are the API's`);
    }
    if (written === undefined) say("there is no pdftotext here, so no PDF document was read");
  }
  assert.deepEqual(wrong, []);
}
