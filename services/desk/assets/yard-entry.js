"use strict";
// The entry of a ticket without round trips. The form is the one that works without script; this takes its steps over,
// keeps each of them on the phone before it is shown, and puts the finished ticket into the queue.
document.addEventListener("DOMContentLoaded", async () => {
  const form = document.getElementById("yard");
  if (form === null || !("indexedDB" in window) || !("locks" in navigator)) return;
  const owner = form.dataset.owner;
  const practices = JSON.parse(form.dataset.practices);
  const books = JSON.parse(form.dataset.books);
  const schema = JSON.parse(form.dataset.schema);
  const fields = Yard.fields(schema);
  const TASKS = ["felling", "bucking", "peeling", "scoring", "hewing", "skidding", "loading", "hauling"];
  const HEAD = ["form_key", "sticks", "do"];
  const corrects = form.elements.corrects.value;
  const key = `${owner}|${corrects}`;
  const said = document.getElementById("stick-said");
  let sticks = JSON.parse(form.elements.sticks.value || "[]");
  let before = [];
  let reopens = null;
  let contracts = [];
  let asked = 0;

  // By name, since a field may be called like something that every list has.
  const named = (name) => form.elements.namedItem(name);
  const value = (name) => (named(name)?.value ?? "").trim();
  const set = (name, text) => {
    if (named(name)) named(name).value = text;
  };
  const say = (text) => (said.textContent = text);
  const make = (name, text, attributes = {}) => {
    const made = document.createElement(name);
    if (text !== null) made.textContent = text;
    for (const [attribute, content] of Object.entries(attributes)) made.setAttribute(attribute, content);
    return made;
  };

  function values() {
    const all = {};
    for (const one of form.elements) if (one.name && !HEAD.includes(one.name) && one.value !== "") all[one.name] = one.value;
    return all;
  }

  // Rows of defects and of shared work are copies of the first.
  function rows(count, within, letter, counter) {
    const box = document.getElementById(within);
    while (box.children.length > count) box.lastElementChild.remove();
    while (box.children.length < count) {
      const place = box.children.length + 1;
      const row = box.firstElementChild.cloneNode(true);
      for (const one of row.querySelectorAll("[id], [name], [for], [aria-describedby]")) {
        for (const attribute of ["id", "name", "for", "aria-describedby"]) {
          const text = one.getAttribute(attribute);
          if (text !== null) one.setAttribute(attribute, text.replace(`${letter}1_`, `${letter}${place}_`));
        }
        if ("value" in one && one.name) one.value = "";
      }
      row.querySelector("legend").textContent = `${letter === "d" ? "Defect" : "Row"} ${place}`;
      box.append(row);
    }
    named(counter).value = String(count);
  }

  function fill(all) {
    rows(Number(all.defect_rows || 1), "defect-rows", "d", "defect_rows");
    rows(Number(all.work_rows || 1), "work-rows", "w", "work_rows");
    for (const one of form.elements) if (one.name && !HEAD.includes(one.name)) one.value = all[one.name] ?? "";
    if (value("product") === "") set("product", "log");
    if (value("system") === "") set("system", "inch_foot");
    arrange();
  }

  // Shows what such a piece has, and what such a defect is measured by.
  function arrange() {
    const product = value("product");
    for (const part of form.querySelectorAll("[data-of]")) {
      const its = part.dataset.of.split(" ").includes(product);
      part.hidden = !its;
      if (its && part.localName === "details" && !["log", "log ranked_pile", "log hewn_timber ranked_pile"].includes(part.dataset.of)) part.open = true;
    }
    for (const field of schema.stick) {
      const part = named(field.name)?.closest("div");
      if (part) part.hidden = field.of.length > 0 && !field.of.includes(product);
    }
    document.querySelectorAll("fieldset.defect").forEach((row, place) => {
      const method = value(`d${place + 1}_method`);
      for (const part of row.querySelectorAll("[data-method]")) part.hidden = !part.dataset.method.split(" ").includes(method);
    });
    const editing = Number(value("editing"));
    document.getElementById("stick-legend").textContent = editing > 0 ? `Change stick ${editing}` : `Stick ${sticks.length + 1}`;
    document.getElementById("do-add").textContent = editing > 0 ? "Put the stick back" : "Add a stick";
    const last = enterable().at(-1);
    for (const one of enterable()) one.setAttribute("enterkeyhint", one === last ? "done" : "next");
  }

  const enterable = () =>
    [...document.querySelectorAll("#stick input:not([type=hidden])")].filter((one) => one.checkVisibility());

  const save = () => Yard.store.put("drafts", { key, owner, values: values(), sticks, reopens });
  let soon = 0;
  const saveSoon = () => {
    clearTimeout(soon);
    soon = setTimeout(() => save().catch(failed), 120);
  };
  function failed(error) {
    say(`This phone could not keep it: ${error.message}. Write it down before you go on.`);
  }

  function work() {
    const entries = [];
    for (const task of TASKS) if (value(`crew_${task}`) !== "") entries.push({ task, crew_id: value(`crew_${task}`) });
    for (let row = 1; row <= Number(value("work_rows") || 1); row += 1) {
      const its = (name) => value(`w${row}_${name}`);
      if (its("task") === "" || its("crew") === "") continue;
      const entry = { task: its("task"), crew_id: its("crew") };
      if (its("pieces") !== "") entry.pieces = numbers(its("pieces"));
      if (its("parts") !== "") entry.parts = its("parts");
      entries.push(entry);
    }
    return entries;
  }

  function numbers(text) {
    const all = [];
    for (const part of text.split(/[,;]/).filter((one) => one.trim() !== "")) {
      const [first, last] = part.split("-").map((one) => (/^\d+$/.test(one.trim()) ? Number(one) : 0));
      for (let one = first; one <= (last ?? first) && all.length < 2000; one += 1) all.push(one);
    }
    return all;
  }

  function ticket() {
    const landing = form.elements.landing_id.selectedOptions[0];
    const made = {
      book: value("book"),
      number: Number(value("number")),
      job_id: landing?.dataset.job ?? null,
      landing_id: value("landing_id"),
      scaled_on: value("scaled_on"),
      scaler: value("scaler"),
      work: work(),
    };
    const turn = {};
    for (const name of ["moved_by", "skid_distance_ft", "haul_distance_mi"]) if (value(name) !== "") turn[name] = value(name);
    if (Object.keys(turn).length > 0 || value("turn") !== "") made.turn = turn;
    for (const name of ["delivered_to", "remarks", "measured_at"]) if (value(name) !== "") made[name] = value(name);
    made.pieces = sticks;
    return made;
  }

  const begun = () => {
    const piece = fields.documentOf(values());
    const stays = ["product", "species", "length_ft", "length_m", "length_in"];
    return Object.keys(piece).some((name) => !stays.includes(name));
  };

  function wrongWithTicket() {
    const needed = { book: "the scale book", number: "the number", landing_id: "the landing", scaled_on: "the day", scaler: "who scaled it" };
    for (const [name, words] of Object.entries(needed)) if (value(name) === "") return { field: name, says: `Write ${words}.` };
    if (!/^[1-9]\d{0,8}$/.test(value("number"))) return { field: "number", says: "The number is digits only." };
    if (corrects !== "" && value("reason") === "") return { field: "reason", says: "Write what was wrong with the ticket." };
    if (begun()) return { field: "small_1", says: "A stick is filled in and not added yet: add it, or empty its fields." };
    if (sticks.length === 0) return { field: "small_1", says: "There is no stick on the ticket yet." };
    return null;
  }

  function point(wrong) {
    say(wrong.says);
    const field = named(wrong.field);
    if (!field) return;
    field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-describedby", "stick-said");
    for (let part = field.closest("details"); part !== null; part = part.parentElement.closest("details")) part.open = true;
    field.focus();
  }
  const unpoint = () => {
    for (const one of form.querySelectorAll("[aria-invalid]")) one.removeAttribute("aria-invalid");
  };

  function draw() {
    const body = document.querySelector("#sticks tbody");
    const lines = sticks.map((piece, at) => {
      const place = at + 1;
      const row = make("tr", null, { id: `stick-${place}` });
      const line = make("td", fields.said(piece));
      const gross = make("td", null, { class: "figure" });
      const net = make("td", null, { class: "figure" });
      for (const by of contracts) {
        const one = by.pieces.find((known) => known.piece === place);
        if (!one) continue;
        if (one.gross !== undefined && one.gross !== null) gross.append(one.gross, make("br", null));
        if (one.net !== undefined && one.net !== null) net.append(one.net, make("br", null));
        const notes = [one.cull && `Cull (${by.title}): ${one.cull}`, one.cannot && `Not scaled (${by.title}): ${one.cannot}`, one.later && `${by.title}: ${one.later}`];
        for (const note of notes.filter(Boolean)) line.append(make("br", null), note);
      }
      const change = make("td", null);
      change.append(
        make("button", "Correct", { type: "submit", class: "plain", name: "do", value: `edit-${place}`, "aria-label": `Correct stick ${place}` }),
        " ",
        make("button", "Drop", { type: "submit", class: "plain", name: "do", value: `drop-${place}`, "aria-label": `Drop stick ${place}` }),
      );
      row.append(make("th", String(place), { scope: "row" }), line, gross, net, change);
      return row;
    });
    if (lines.length === 0) {
      const empty = make("tr", null);
      empty.append(make("td", "No stick yet.", { colspan: "5" }));
      lines.push(empty);
    }
    body.replaceChildren(...lines);
    totals();
    arrange();
  }

  function totals() {
    const list = contracts.map((by) => {
      const item = make("li", null);
      item.append(make("span", by.title));
      if (by.net !== undefined && by.net !== null) item.append(make("strong", `${by.net} net`), make("span", `${by.gross} gross, ${by.unit}`));
      if (by.later) item.append(make("span", `${by.later} ${by.later === 1 ? "stick" : "sticks"} scaled when there is signal`));
      if (by.fetched) {
        const days = Math.floor((Date.now() - Date.parse(by.fetched)) / 86_400_000);
        item.append(make("span", `from the table of ${by.fetched.slice(0, 10)}${days > 7 ? `, ${days} days old` : ""}`));
      }
      return item;
    });
    document.getElementById("totals").replaceChildren(...list);
    document.getElementById("no-contract")?.remove();
  }

  // The figures of the tables at once; those of the service when they come, unless something was changed meanwhile.
  async function figure() {
    asked += 1;
    const mine = asked;
    const made = ticket();
    contracts = Yard.scale.offline(made, practices);
    draw();
    if (sticks.length === 0 || made.job_id === null || !queue.signal()) return;
    const sent = { job_id: made.job_id, work: made.work, delivered_to: made.delivered_to ?? null, pieces: sticks };
    if (made.scaled_on !== "") sent.scaled_on = made.scaled_on;
    try {
      const answer = await fetch("/desk/yard/scale", {
        method: "POST",
        redirect: "manual",
        headers: { "Content-Type": "application/json", "form-key": value("form_key") },
        body: JSON.stringify(sent),
        signal: AbortSignal.timeout(8_000),
      });
      if (mine !== asked || !answer.ok) return;
      const told = await answer.json();
      if (told.wrong) return say(`Stick ${told.wrong.piece} will be refused: ${told.wrong.says}. Correct it.`);
      contracts = told.contracts;
      draw();
    } catch {
      // No signal after all: the figures of the tables stand.
    }
  }

  async function changed(text) {
    try {
      await save();
      say(text);
    } catch (error) {
      failed(error);
    }
    document.getElementById("do-undo").hidden = before.length === 0;
    figure();
  }

  const remember = () => before.push(JSON.stringify(sticks));

  function empty() {
    for (const field of schema.stick) if (!schema.stays.includes(field.name)) set(field.name, "");
    rows(1, "defect-rows", "d", "defect_rows");
    for (const one of document.querySelectorAll("fieldset.defect [name]")) one.value = "";
    document.getElementById("defects").open = false;
    set("editing", "");
  }

  async function add() {
    const piece = fields.documentOf(values());
    const wrong = fields.missing(piece);
    if (wrong) return point(wrong);
    remember();
    const editing = Number(value("editing"));
    if (value("measured_at") === "") set("measured_at", new Date().toISOString().replace(/\.\d+/, ""));
    sticks = editing > 0 ? sticks.with(editing - 1, piece) : [...sticks, piece];
    empty();
    await changed(editing > 0 ? `Stick ${editing} is changed.` : `Stick ${sticks.length} is kept on this phone.`);
    (enterable().find((one) => one.value === "") ?? enterable()[0])?.focus();
  }

  function edit(place) {
    const own = values();
    const head = Object.fromEntries(Object.entries(own).filter(([name]) => !/^d\d+_/.test(name)));
    fill({ ...head, ...fields.valuesOf(sticks[place - 1]), editing: String(place) });
    if (sticks[place - 1].defects) document.getElementById("defects").open = true;
    saveSoon();
    enterable()[0]?.focus();
  }

  async function drop(place) {
    remember();
    sticks = sticks.filter((_, at) => at !== place - 1);
    set("editing", "");
    await changed(`Stick ${place} is dropped.`);
    document.getElementById("do-undo").focus();
  }

  async function undo() {
    sticks = JSON.parse(before.pop());
    set("editing", "");
    await changed("The last step is undone.");
  }

  function look() {
    const wrong = wrongWithTicket();
    if (wrong) return point(wrong);
    const facts = document.getElementById("look-facts");
    const words = (name) => named(name).selectedOptions?.[0]?.textContent.trim() ?? value(name);
    const lines = [["Ticket", `${value("book")} ${value("number")}`], ["Landing", words("landing_id")], ["Scaled", `${value("scaled_on")} by ${value("scaler")}`], ["Sticks", String(sticks.length)]];
    for (const task of TASKS) if (value(`crew_${task}`) !== "") lines.push([task, words(`crew_${task}`)]);
    for (const name of ["moved_by", "skid_distance_ft", "haul_distance_mi", "delivered_to", "remarks", "reason"]) {
      if (named(name) && value(name) !== "") lines.push([form.querySelector(`label[for=${name}]`).textContent, words(name)]);
    }
    facts.replaceChildren(...lines.map(([name, says]) => {
      const line = make("div", null);
      line.append(make("dt", name), make("dd", says));
      return line;
    }));
    document.getElementById("look").hidden = false;
    document.getElementById("finish").hidden = true;
    document.getElementById("look-title").focus();
  }

  function back() {
    document.getElementById("look").hidden = true;
    document.getElementById("finish").hidden = false;
  }

  async function finish() {
    const made = ticket();
    const one = { owner, book: made.book, number: made.number, ticket: made, values: values(), state: "waiting", queued_at: new Date().toISOString() };
    if (corrects !== "") Object.assign(one, { corrects, reason: value("reason") });
    if (reopens !== null) one.id = reopens;
    try {
      await Yard.store.finish(key, one);
    } catch (error) {
      back();
      return point({ field: "number", says: `${error.message} Give it another number.` });
    }
    back();
    [sticks, before, reopens] = [[], [], null];
    for (const name of ["remarks", "measured_at", "editing"]) set(name, "");
    empty();
    await propose();
    // Landing, crews and species stay for the next ticket, also when the page is opened anew.
    if (corrects === "") await save().catch(failed);
    say(`Ticket ${made.book} ${made.number} is kept on this phone.`);
    document.getElementById("do-undo").hidden = true;
    await figure();
    await queue.show();
    document.getElementById("queue-title").focus();
    await queue.send();
    if (corrects !== "") location.assign("/desk/yard");
  }

  // The number after the last one that the service or this phone knows of.
  async function propose() {
    const own = (await Yard.store.all("tickets")).filter((one) => one.book === value("book") && one.state !== "aside");
    set("number", String(Math.max(books[value("book")] ?? 1, ...own.map((one) => one.number + 1))));
  }

  async function reopen(one) {
    if (sticks.length > 0 || begun()) return point({ field: "small_1", says: "Finish the ticket in hand first." });
    reopens = one.id;
    sticks = one.ticket.pieces;
    fill({ ...one.values });
    await changed(`Ticket ${one.book} ${one.number} is open again. It stays among the refused until it is finished.`);
    document.getElementById("number").focus();
  }

  function step(verb, place) {
    unpoint();
    if (verb === "edit") return edit(place);
    if (verb === "drop") return drop(place);
    if (verb === "undo") return undo();
    if (verb === "look") return look();
    if (verb === "defect" || verb === "work") {
      const [within, letter, counter] = verb === "defect" ? ["defect-rows", "d", "defect_rows"] : ["work-rows", "w", "work_rows"];
      rows(Number(named(counter).value) + 1, within, letter, counter);
      return arrange();
    }
    return add();
  }

  // What only the script has: undoing, and a look at the whole ticket on this very page.
  function furnish() {
    const undoing = make("button", "Undo", { type: "submit", class: "second", name: "do", value: "undo", id: "do-undo" });
    undoing.hidden = true;
    document.getElementById("do-add").after(undoing);
    const box = make("section", null, { id: "look", "aria-labelledby": "look-title" });
    box.hidden = true;
    const finishing = make("button", "Finish the ticket", { type: "button", id: "do-finish" });
    const going = make("button", "Back to the ticket", { type: "button", class: "second", id: "do-return" });
    finishing.addEventListener("click", finish);
    going.addEventListener("click", () => {
      back();
      document.getElementById("do-look").focus();
    });
    box.append(make("h2", "Look the ticket over", { id: "look-title", tabindex: "-1" }), make("dl", null, { class: "facts", id: "look-facts" }), finishing, going);
    document.getElementById("finish").after(box);
  }

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const [verb, place] = (event.submitter?.value ?? "add").split("-");
    step(verb, Number(place));
  });
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.target.localName !== "input" || event.isComposing) return;
    event.preventDefault();
    const all = enterable();
    const place = all.indexOf(event.target);
    if (place < 0) return event.target.blur();
    if (place === all.length - 1) document.getElementById("do-add").click();
    else {
      all[place + 1].focus();
      all[place + 1].select();
    }
  });
  form.addEventListener("input", saveSoon);
  form.addEventListener("change", async (event) => {
    const { name } = event.target;
    if (name === "book") await propose();
    if (name === "product" || name.endsWith("_method")) {
      if (name === "product") {
        for (const field of schema.stick) if (field.of.length > 0 && !field.of.includes(value("product"))) set(field.name, "");
      }
      arrange();
    }
    saveSoon();
    if (/^(landing_id|scaled_on|delivered_to|crew_|w\d)/.test(name)) figure();
  });

  const queue = Yard.queue(form, { reopen });
  furnish();
  const waits = setTimeout(() => {
    say("This ticket is open in another tab or window. Go on there, or close it.");
    form.inert = true;
  }, 800);
  // Held as long as the page is open, so that two tabs never write over each other.
  navigator.locks.request(`skidway-yard-entry ${key}`, async () => {
    clearTimeout(waits);
    form.inert = false;
    const kept = await Yard.store.read("drafts", key);
    if (kept !== undefined) {
      [sticks, reopens] = [kept.sticks, kept.reopens ?? null];
      fill(kept.values);
      if (sticks.length > 0) say(`${sticks.length === 1 ? "1 stick was" : `${sticks.length} sticks were`} kept on this phone.`);
    } else {
      if (corrects === "") await propose();
      arrange();
    }
    // Crews that are named already need no room above the stick.
    if (TASKS.some((task) => value(`crew_${task}`) !== "")) document.getElementById("work").open = false;
    form.dataset.ready = "yes";
    await Yard.scale.load(practices, false);
    await figure();
    await queue.show();
    if (navigator.onLine) await queue.renew().catch(() => queue.lost());
    await queue.send();
    await Yard.scale.load(practices, queue.signal());
    await figure();
    return new Promise(() => {});
  });
  navigator.storage?.persist?.();
  if ("serviceWorker" in navigator) {
    navigator.serviceWorker.register("/desk/yard/worker.js", { scope: "/desk/yard" }).catch(() => {
      say("This browser keeps no page without signal: leave this one open.");
    });
  }
});
