// Papers held against the API: every amount of the reply stands on the paper.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";

import { has } from "./programs.mjs";

/** The text of a PDF document as somebody else's program reads it, with single blanks; none where that is not to be had. */
export function pdf_text(bytes) {
  assert.equal(Buffer.from(bytes).subarray(0, 5).toString(), "%PDF-");
  if (!has("pdftotext")) return undefined;
  const text = execFileSync("pdftotext", ["-layout", "-", "-"], { input: bytes, encoding: "utf8", maxBuffer: 1 << 26 });
  return single(text);
}

/** Text with single blanks, and with the usual sign for minus. */
export function single(text) {
  return text.replaceAll("−", "-").replaceAll(/\s+/g, " ").trim();
}

/** All amounts of money within a reply of the API. */
export function amounts(value) {
  if (Array.isArray(value)) return value.flatMap(amounts);
  if (value === null || typeof value !== "object") return [];
  if (typeof value.amount === "string" && typeof value.currency === "string") return [value.amount];
  return Object.values(value).flatMap(amounts);
}

/** Holds each amount of a reply against a text. */
export function all_stand_on(text, reply, says) {
  const all = [...new Set(amounts(reply))];
  const missing = all.filter((amount) => !new RegExp(`(^|[^0-9.])${amount.replace(".", "\\.")}($|[^0-9])`).test(text));
  assert.deepEqual(missing, [], `${says}: amounts of the API that are not there, of ${all.length}`);
  return all.length;
}
