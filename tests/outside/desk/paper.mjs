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

/** All amounts of money within a reply of the API, each with its place in it. */
function amounts(value, place = "") {
  if (value === null || typeof value !== "object") return [];
  if (typeof value.amount === "string" && typeof value.currency === "string") return [[place, value.amount]];
  return Object.entries(value).flatMap(([name, inner]) => amounts(inner, `${place}/${name}`));
}

/** Whether a number stands in a text as a whole. */
export function holds_number(text, number) {
  return new RegExp(`(^|[^0-9.])${number.replace(".", "\\.")}($|[^0-9.]|\\.($|[^0-9]))`).test(text);
}

/** All numbers within a reply of the API. */
function numbers(value) {
  if (value !== null && typeof value === "object") return Object.values(value).flatMap(numbers);
  return String(value).match(/\d+(\.\d+)?/g) ?? [];
}

/** Numbers with two decimals that stand in a text and nowhere in the reply; and how many stand in both. */
export function strange(text, reply) {
  const known = new Set(numbers(reply));
  const all = text.match(/(?<![\d.])\d+\.\d\d(?![\d]|\.\d)/g) ?? [];
  return { strangers: [...new Set(all.filter((one) => !known.has(one)))], there: all.filter((one) => known.has(one)).length };
}

/** The amounts of a reply that a text does not have, and how many it has; `but` are places that the paper leaves out. */
export function compared(text, reply, but = []) {
  const all = amounts(reply).filter(([place]) => !but.includes(place));
  const missing = all.filter(([, amount]) => !holds_number(text, amount)).map(([place, amount]) => `${place} ${amount}`);
  return { missing, there: all.length - missing.length };
}
