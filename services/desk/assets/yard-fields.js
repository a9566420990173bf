"use strict";
// From the fields of the form to the document of a stick and back, by the list that the page carries: the same list by
// which the service reads the form when there is no script.
Yard.fields = (schema) => {
  const parts = (field, metric) =>
    field.path
      .replace("{d}", metric ? "cm" : "in")
      .replace("{l}", metric ? "m" : "ft")
      .replace("{h}", metric ? "_m" : "")
      .split(".");
  const listed = (text) =>
    text
      .split(/[,;]/)
      .map((one) => one.trim())
      .filter((one) => one !== "");

  function read(kind, text, metric) {
    if (kind === "number") return text.replaceAll(",", ".");
    if (kind === "wanes") {
      return listed(text).map((corner) => {
        const [width, ...rest] = corner.split(/[xX×]/);
        return rest.length > 0 ? { width_in: width.trim(), thickness_in: rest.join("x").trim() } : { width_in: corner };
      });
    }
    if (kind === "heights" && metric) return listed(text);
    if (kind === "heights") {
      return listed(text).map((height) => {
        const [feet, ...rest] = height.split(" ");
        return rest.length > 0 ? { feet, inches: rest.join(" ").trim() } : { feet };
      });
    }
    return text;
  }

  function write(kind, value) {
    if (kind === "wanes") return value.map((one) => `${one.width_in ?? ""}x${one.thickness_in ?? ""}`).join(", ");
    if (kind === "heights") {
      return value
        .map((one) => (typeof one === "string" ? one : one.inches === undefined ? one.feet : `${one.feet} ${one.inches}`))
        .join(", ");
    }
    return value;
  }

  function put(into, field, text, metric) {
    const path = parts(field, metric);
    const value = read(field.kind, text, metric);
    if (path.length === 1) into[path[0]] = value;
    else if (path[1] === "0" || path[1] === "1") (into[path[0]] ??= []).push(value);
    else (into[path[0]] ??= {})[path[1]] = value;
  }

  const taken = (from, field, metric) => {
    const found = parts(field, metric).reduce((value, part) => value?.[part], from);
    return found === undefined ? "" : write(field.kind, found);
  };

  function documentOf(values) {
    const said = (name) => (values[name] ?? "").trim();
    const product = said("product");
    const metric = said("system") === "metric" && (product === "log" || product === "ranked_pile");
    const piece = { product };
    for (const field of schema.stick) if (said(field.name) !== "") put(piece, field, said(field.name), metric);
    const defects = [];
    for (let row = 1; row <= Number(said("defect_rows") || 1); row += 1) {
      const defect = {};
      for (const member of ["kind", "method"]) if (said(`d${row}_${member}`) !== "") defect[member] = said(`d${row}_${member}`);
      for (const field of schema.defect) {
        const text = said(`d${row}_${field.name}`);
        if (text !== "") put(defect, field, text, metric);
      }
      if (Object.keys(defect).length > 0) defects.push(defect);
    }
    if (defects.length > 0) piece.defects = defects;
    return piece;
  }

  function valuesOf(piece) {
    const metric = piece.length_m !== undefined || piece.small_diameter_cm !== undefined;
    const values = { product: piece.product, system: metric ? "metric" : "inch_foot" };
    for (const field of schema.stick) values[field.name] = taken(piece, field, metric);
    const defects = piece.defects ?? [];
    values.defect_rows = String(Math.max(1, defects.length));
    defects.forEach((defect, place) => {
      for (const member of ["kind", "method"]) values[`d${place + 1}_${member}`] = defect[member] ?? "";
      for (const field of schema.defect) values[`d${place + 1}_${field.name}`] = taken(defect, field, metric);
    });
    return values;
  }

  // What a stick needs at the least; all else the service looks at.
  function missing(piece) {
    const needs = { log: ["small_1", "length"], tie: ["width", "thickness", "length"], pole: ["length"] };
    needs.hewn_timber = ["length"];
    needs.ranked_pile = ["length", "heights", "stick_length"];
    const metric = piece.length_m !== undefined || piece.small_diameter_cm !== undefined;
    for (const field of schema.stick) {
      const needed = field.name === "species" || needs[piece.product].includes(field.name);
      const text = taken(piece, field, metric);
      if (needed && text === "") return { field: field.name, says: `${field.label} is missing.` };
      if (field.kind === "number" && text !== "" && !/^\d+(\.\d+)?$/.test(text)) {
        return { field: field.name, says: `${field.label}: ${text} is not a number.` };
      }
    }
    if (piece.product === "hewn_timber" && !piece.small_end && !piece.middle && !piece.large_end) {
      return { field: "small_end_width", says: "No section is given: write the width and thickness of one." };
    }
    for (const [place, defect] of (piece.defects ?? []).entries()) {
      if (!defect.kind) return { field: `d${place + 1}_kind`, says: `Say what defect ${place + 1} is.` };
      if (!defect.method) return { field: `d${place + 1}_method`, says: `Say how defect ${place + 1} is reckoned.` };
    }
    return null;
  }

  // A stick in one line.
  function said(piece) {
    const metric = piece.length_m !== undefined || piece.small_diameter_cm !== undefined;
    const across = metric ? "cm" : "in";
    const told = [`${piece.species} ${piece.product.replaceAll("_", " ")}`];
    const readings = (name, label) => {
      const found = piece[`${name}_diameter_${across}`];
      if (found) told.push(`${label} ${found.join(" and ")} ${across}`);
    };
    readings("small", "small end");
    readings("middle", "middle");
    readings("large", "large end");
    readings("butt", "butt by taper");
    for (const [name, label] of [["small_end", "small end"], ["middle", "middle"], ["large_end", "large end"]]) {
      if (piece[name]) told.push(`${label} ${piece[name].width_in} by ${piece[name].thickness_in} in`);
    }
    if (piece.width_in) told.push(`${piece.width_in} by ${piece.thickness_in} in`);
    if (piece.top_diameter_in) told.push(`top ${piece.top_diameter_in} in`);
    if (piece.length_m) told.push(`${piece.length_m} m`);
    if (piece.length_ft) told.push(`${piece.length_ft} ft${piece.length_in ? ` ${piece.length_in} in` : ""}`);
    const heights = schema.stick.find((field) => field.name === "heights");
    if (piece.heights || piece.heights_m) told.push(`${taken(piece, heights, metric)} high`);
    if (piece.stick_length_ft || piece.stick_length_m) told.push(`sticks of ${piece.stick_length_ft ?? piece.stick_length_m}`);
    if (piece.defects) told.push(piece.defects.map((one) => one.kind.replaceAll("_", " ")).join(" and "));
    for (const [name, label] of [["refused", "refused:"], ["grade", "grade"], ["marks", "marks"], ["stick_number", "stick"], ["hewn_from", "hewn from"]]) {
      if (piece[name]) told.push(`${label} ${piece[name]}`);
    }
    return told.join(", ");
  }

  return { documentOf, valuesOf, missing, said };
};
