// Posts a ticket with a client that was generated from the API document, and sends it again.
import createClient from "openapi-fetch";
import type { components, paths } from "./schema";

type Ticket = components["schemas"]["TicketCreate"];

declare const process: { argv: string[]; env: Record<string, string | undefined>; exit(code: number): never };

function check(holds: boolean, says: string): asserts holds {
  if (!holds) {
    console.error(says);
    process.exit(1);
  }
}

const token = process.env["SKIDWAY_TOKEN"] ?? "";
const client = createClient<paths>({
  baseUrl: process.argv[2] ?? "",
  headers: { Authorization: `Bearer ${token}` },
});

const jobs = await client.GET("/v1/jobs");
// A list is had as JSON or as rows of text; nothing was said, so it is JSON.
check(typeof jobs.data === "object", `listing: ${JSON.stringify(jobs.error)}`);
const job = jobs.data.items[0];
const landing = job?.landings?.[0];
check(job !== undefined && landing !== undefined, "the demonstration has a job with a landing");

const ticket: Ticket = {
  book: "generated",
  number: 1,
  job_id: job.job_id,
  landing_id: landing.landing_id,
  scaled_on: "2026-06-03",
  scaler: "A generated client",
  pieces: [{ product: "pole", species: "cedar", length_ft: "35" }],
};
const first = await client.POST("/v1/tickets", { body: ticket });
check(first.response.status === 201, `posting: ${JSON.stringify(first.error)}`);
const again = await client.POST("/v1/tickets", { body: ticket });
check(again.response.status === 200, "the same again is a replay");
check(again.data?.ticket_id === first.data?.ticket_id, "and the same ticket");
const other = await client.POST("/v1/tickets", { body: { ...ticket, scaler: "Somebody else" } });
check(other.error?.code === "ticket-differs", "another under its number is refused");

// The types are narrow: what the service refuses does not compile.
// @ts-expect-error a number where exact text belongs
const _measured: components["schemas"]["Pole"] = { product: "pole", species: "cedar", length_ft: 35 };
// @ts-expect-error a ticket without its book
const _nameless: Ticket = { number: 1, job_id: "", landing_id: "", scaled_on: "", scaler: "", pieces: [] };
// @ts-expect-error a code that is none
const _code: components["schemas"]["ProblemCode"] = "out-of-timber";

console.log("a generated client has posted a ticket");
