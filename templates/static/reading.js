// A reading of the page at the brake: as the service takes it, and as the rules do.
"use strict";

const read = (() => {
  // form turns the fields into the JSON the service takes. Numbers stay as they were
  // typed when they are none, so that the service can say so.
  function form(form, shown) {
    const fields = new FormData(form);
    const reading = { id: phone.newId(), piece: shown.piece, step: shown.step };
    const typed = fields.get("typed").trim();
    reading.measured = phone.number(typed || fields.get("pad") || "");
    reading.given_as = typed ? fields.get("given_as") : fields.get("pad_as");
    for (const name of ["place", "by", "state", "note", "pack", "tool", "corrects"]) {
      if (fields.get(name)) reading[name] = fields.get(name);
    }
    for (const name of ["stop", "leg", "thickness"]) {
      if (fields.get(name)) reading[name] = phone.number(fields.get(name));
    }
    if (fields.getAll("flags").length > 0) reading.flags = fields.getAll("flags");
    const ends = fields.getAll("nose_setback").map((end) => (end.trim() ? phone.number(end) : null));
    if (ends.some((end) => end !== null)) reading.nose_setback = ends;
    reading.at = new Date().toISOString();
    return reading;
  }

  // known is a reading as the rules take it.
  function known(table, reading) {
    const centi = (value) => Math.round(value * 100), opening = reading.given_as === "opening";
    return {
      ...reading, opening, bend: opening ? 18000 - centi(reading.measured) : centi(reading.measured), state: reading.state || "as-bent",
      stop: typeof reading.stop === "number" ? rules.fromScale(table, centi(reading.stop)) : rules.stepOf(table, reading.step).printed,
      thickness: typeof reading.thickness === "number" ? Math.round(reading.thickness * 1000) : 0,
    };
  }

  return { form, known };
})();
