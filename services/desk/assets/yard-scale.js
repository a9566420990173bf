"use strict";
// The scale of a stick without signal: looked up in tables that the service's own engine filled in, never computed. What
// a table does not hold is not guessed.
Yard.scale = (() => {
  const LATER = "scaled when there is signal";
  let tables = new Map();

  // A reading as whole halves of an inch; null for what the table's rows are not made for.
  function halves(text) {
    const found = /^(\d{1,3})(?:\.([05])0*)?$/.exec(text);
    return found === null ? null : Number(found[1]) * 2 + (found[2] === "5" ? 1 : 0);
  }

  function rowOf(table, readings) {
    const found = readings.map(halves);
    if (found.length < 1 || found.length > 2 || found.includes(null)) return undefined;
    const places = found.map((one) => one - table.first_reading).sort((left, right) => left - right);
    const count = table.one.length;
    if (places[0] < 0 || places.at(-1) >= count) return undefined;
    if (places.length === 1) return table.one[places[0]];
    const [first, second] = places;
    return table.two[first * count - (first * (first - 1)) / 2 + (second - first)];
  }

  function columnOf(table, feet, inches) {
    if (!/^\d{1,3}$/.test(feet) || !/^\d{0,2}$/.test(inches)) return undefined;
    const length = Number(feet) * 12 + Number(inches || "0");
    if (table.columns.length === 0 || length < table.columns[0][0] || length >= table.end) return undefined;
    return table.columns.findLast((column) => column[0] <= length)[1];
  }

  // The volume of a sound log, or null.
  function look(table, piece) {
    const sizes = ["product", "species", "grade", "marks", "stick_number", "small_diameter_in", "length_ft", "length_in"];
    const plain = piece.product === "log" && Object.keys(piece).every((name) => sizes.includes(name));
    if (!plain || !piece.small_diameter_in || !piece.length_ft || table.rows.length === 0) return null;
    const row = rowOf(table, piece.small_diameter_in);
    const column = columnOf(table, piece.length_ft, piece.length_in ?? "");
    return (row === undefined || column === undefined ? null : table.rows[row][column]) ?? null;
  }

  // Adds decimals up as they are written, without rounding: whole numbers of the smallest place that occurs.
  function sum(texts) {
    const places = Math.max(0, ...texts.map((text) => (text.split(".")[1] ?? "").length));
    const whole = texts.reduce((total, text) => {
      const [units, decimals = ""] = text.split(".");
      return total + BigInt(units + decimals.padEnd(places, "0"));
    }, 0n);
    if (places === 0) return String(whole);
    const digits = String(whole).padStart(places + 1, "0");
    return `${digits.slice(0, -places)}.${digits.slice(-places)}`.replace(/\.?0+$/, "");
  }

  const worked = (crew, work, place) =>
    work.some((entry) =>
      entry.crew_id === crew &&
      (entry.pieces
        ? entry.pieces.includes(place)
        : !work.some((other) => other.task === entry.task && other.pieces?.includes(place))));

  // What each contract that a ticket touches makes of its sticks, as far as the tables tell.
  function offline(ticket, practices) {
    const contracts = [];
    for (const one of practices.filter((practice) => practice.job_id === ticket.job_id)) {
      const table = ticket.scaled_on >= one.effective_from ? tables.get(one.terms_id) : undefined;
      const pieces = [];
      ticket.pieces.forEach((piece, at) => {
        const place = at + 1;
        const its = one.crew_id ? worked(one.crew_id, ticket.work, place) : one.mill_id === ticket.delivered_to;
        if (!its) return;
        const volume = table ? look(table.table, piece) : null;
        pieces.push(volume === null ? { piece: place, later: LATER } : { piece: place, gross: volume, net: volume });
      });
      if (pieces.length === 0) continue;
      const known = pieces.filter((piece) => piece.gross !== undefined).map((piece) => piece.gross);
      const total = known.length > 0 ? sum(known) : undefined;
      const later = pieces.length - known.length;
      contracts.push({ title: one.title, unit: table?.table.unit, gross: total, net: total, later, pieces, fetched: table?.fetched });
    }
    return contracts;
  }

  // Fetches the tables that are not on the phone yet, and reads the ones that are.
  async function load(practices, signal) {
    for (const known of await Yard.store.all("tables")) tables.set(known.terms_id, known);
    for (const one of signal ? practices : []) {
      const known = tables.get(one.terms_id);
      if (known?.build === one.build) continue;
      try {
        const answer = await fetch(one.table, { redirect: "error" });
        if (!answer.ok) continue;
        const kept = { terms_id: one.terms_id, build: one.build, fetched: new Date().toISOString(), table: await answer.json() };
        await Yard.store.put("tables", kept);
        tables.set(one.terms_id, kept);
      } catch {
        return;
      }
    }
  }

  return { load, look, offline, sum };
})();
