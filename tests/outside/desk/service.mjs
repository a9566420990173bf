// The demonstration as a service to try the desk on: an invented outfit, and people who can sign in.
import { execFileSync, spawn } from "node:child_process";
import { createInterface } from "node:readline";
import { join } from "node:path";

import { ROOT, TARGET } from "./programs.mjs";

/** Builds the service and the program `skid`, as the tests have them. */
export function build() {
  const arguments_ = ["build", "--quiet", "--locked", "-p", "api", "-p", "client"];
  execFileSync("cargo", arguments_, { cwd: ROOT, stdio: ["ignore", "inherit", "inherit"] });
}

/** The program `skid`. */
export const skid = join(TARGET, "debug", "skid");

/** Stops its child when whoever holds the other end of its standard input is gone, however that came about. */
const UNTIL_LET_GO = `"$1" demo <&- & child=$!; trap 'kill "$child"' TERM INT; read -r _; kill "$child"; wait "$child"`;

/** Starts the demonstration. */
export async function start() {
  const environment = { ...process.env };
  delete environment.DATABASE_URL;
  // What is tried here is the pages, not how requests are rationed.
  Object.assign(environment, {
    SKIDWAY_LISTEN: "127.0.0.1:0",
    SKIDWAY_RATE_PER_MINUTE: "1000000",
    SKIDWAY_OPEN_RATE_PER_MINUTE: "1000000",
  });
  const program = join(TARGET, "debug", "skidway");
  const child = spawn("sh", ["-c", UNTIL_LET_GO, "sh", program], {
    env: environment,
    stdio: ["pipe", "pipe", "inherit"],
  });
  const house = { people: {}, tokens: {} };
  for await (const line of createInterface({ input: child.stdout })) {
    house.address ??= line.match(/listens on (http:\/\/[^,\s]+)/)?.[1];
    house.outfit ??= line.match(/\/desk\/sign-in\?outfit=(\S+)/)?.[1];
    const token = line.match(/^ {2}(\w+)\s+(\S+\.\S+\.\S+)$/);
    if (token) house.tokens[token[1]] = token[2];
    const person = line.match(/^ {2}(\w+)\s+name (\S+)\s+password (\S+)$/);
    if (person) house.people[person[1]] = { role: person[1], name: person[2], password: person[3] };
    if (line.includes("Still serving")) break;
  }
  if (Object.keys(house.people).length === 0) throw new Error("the demonstration did not come to its end");
  const gone = new Promise((resolve) => child.once("exit", resolve));
  child.stdout.resume();
  house.stop = async () => {
    child.stdin.end();
    await gone;
  };
  return house;
}
