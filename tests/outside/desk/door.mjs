// Coming in: the wrong password, the right one, going out again; setting a password with a code.
import assert from "node:assert/strict";

import { api } from "./api.mjs";
import { answered, open, PHONE } from "./browser.mjs";
import { holds } from "./checks.mjs";
import { arrive, keyboard, pointer, said, sign_in } from "./hands.mjs";

export const title = "Everybody comes in by the door, and nobody else";

const PLACES = { scaler: "/desk/yard", bookkeeper: "/desk/week", contractor: "/desk/audit", mill: "/desk/audit" };
const COOKIE = "__Host-skidway-session";

async function out_and_in(tools) {
  const { running, house, say } = tools;
  for (const [role, place] of Object.entries(PLACES)) {
    for (const [manner, hands, script] of [["keyboard", keyboard, true], ["without script", pointer, false]]) {
      const { page, context, close } = await open(running, house, { size: PHONE, script, expected: [answered(404)] });
      const hand = hands(page);
      await sign_in(hand, house, role);
      assert.equal(new URL(page.url()).pathname, place, `${role}, ${manner}`);
      const cookie = (await context.cookies()).find(({ name }) => name === COOKIE);
      assert.deepEqual([cookie.httpOnly, cookie.secure, cookie.sameSite], [true, true, "Strict"]);
      await arrive(hand, "form.who button");
      assert.equal(new URL(page.url()).pathname, "/desk/sign-in");
      await page.goto(place);
      assert.equal(new URL(page.url()).pathname, "/desk/sign-in", "whoever has gone out is out");
      await close();
    }
  }
  say("each role in and out, with the keyboard alone and without script; the session's cookie is out of scripts' reach");
}

async function a_wrong_password(tools) {
  const { running, house } = tools;
  const { page, close } = await open(running, house, { size: PHONE, expected: [answered(401)] });
  const hand = keyboard(page);
  await page.goto(`/desk/sign-in?outfit=${house.outfit}`);
  await holds(page, { ...tools, size: PHONE }, "the door");
  await hand.fill("#name", house.people.scaler.name);
  await hand.fill("#password", "not at all the password");
  await arrive(hand, "main button[type=submit]");
  assert.equal(await page.locator("[role=alert]").count(), 1);
  assert.equal(await page.locator("#name").inputValue(), house.people.scaler.name, "what was filled in stays");
  assert.equal(await page.locator("#password").inputValue(), "", "but for the password");
  await holds(page, { ...tools, size: PHONE }, "the door after a refusal");
  await close();
  tools.say("a wrong password is told, and what was filled in is still there");
}

async function a_new_password(tools) {
  const { running, house } = tools;
  const manager = api(house, "manager");
  const registered = await manager.post("/v1/accounts", { name: "edda", role: "scaler", says: "Edda, who comes new" });
  const { page, close } = await open(running, house, { size: PHONE, expected: [answered(403)] });
  const hand = keyboard(page);
  await page.goto(`/desk/enrol?outfit=${house.outfit}&account=${registered.account.account_id}`);
  await holds(page, { ...tools, size: PHONE }, "setting a password");
  await hand.fill("#code", "ZZZZZ-ZZZZZ");
  await hand.fill("#password", "a heap of cedar bark");
  await arrive(hand, "main button[type=submit]");
  assert.match(await said(page, "[role=alert]"), /code/);
  await holds(page, { ...tools, size: PHONE }, "setting a password, refused");
  await hand.fill("#code", registered.enrolment.enrolment_code);
  await hand.fill("#password", "a heap of cedar bark");
  await arrive(hand, "main button[type=submit]");
  assert.match(await said(page, "[role=status]"), /password is set/);
  await hand.fill("#password", "a heap of cedar bark");
  await arrive(hand, "main button[type=submit]");
  assert.equal(await page.locator("form.who span").innerText(), "edda, scaler");
  await close();
  tools.say("somebody new sets a password with the code and comes in with it");
}

/** Comes in and goes out. */
export async function run(tools) {
  await a_wrong_password(tools);
  await a_new_password(tools);
  await out_and_in(tools);
}
