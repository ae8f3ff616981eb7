// What a reading means and what is due next, as traveler/progress has it, so that
// the phone knows it at once and without a network. Go and this are held together
// by a test over thousands of cases. Nothing here touches the page.
//
// It works on the table of a traveler (progress.Table). Angles are whole
// hundredths of a degree, as bend angles; a reading is {piece, step, bend, stop,
// place, state, flags, thickness, opening, leg, by, tool, pack} in these units.
"use strict";

const rules = (() => {
  const PLACES = ["", "left", "middle", "right"], GOOD = 1, BAD = 2;
  const phrase = (...of) => phone.phrase(...of);

  // text prints hundredths of a degree with so many decimals, halves away from zero.
  function text(centi, decimals = 1) {
    const scale = 10 ** (2 - decimals), cut = Math.round(Math.abs(centi) / scale) * scale;
    return (centi < 0 && cut > 0 ? "-" : "") + (cut / 100).toFixed(decimals);
  }

  const stepOf = (table, number) => table.steps.find((step) => step.step === number);
  const onScale = (table, bend) => (table.opening ? 18000 - bend : bend) + table.zero;
  const fromScale = (table, stop) => (table.opening ? 18000 - (stop - table.zero) : stop - table.zero);
  const within = (off, step) => Math.abs(off) <= step.tolerance;

  // A job is the table with what was logged since: how bends came out, by place,
  // where those that say how far the metal springs back were stopped, by step, and
  // what was learned of that.
  function begin(table) {
    const job = { table, made: new Map(), scrapped: new Set(table.scrapped), used: new Map(), learned: told.begin(table.learned) };
    for (const step of table.steps) {
      [...step.made].forEach((letter, i) => {
        if (letter === "g") job.made.set(key(i + 1, step.step), { places: [GOOD, 0, 0, 0], off: null, bent: [""] });
      });
    }
    for (const off of table.off) job.made.set(key(off.piece, off.step), { places: off.places, off, bent: [""] });
    return job;
  }

  const key = (piece, step) => piece + "." + step;
  const at = (job, spot) => job.made.get(key(spot.piece, spot.step));
  const accepted = (made) => Boolean(made) && !made.places.includes(BAD);
  const lost = (job, piece) => job.scrapped.has(piece) || job.table.left_out.includes(piece);

  // add gives the job with one more reading.
  function add(job, reading) {
    const step = stepOf(job.table, reading.step);
    const next = { ...job, made: new Map(job.made), scrapped: new Set(job.scrapped), used: new Map(job.used) };
    if (!step) return job;
    if (reading.state === "scrapped") {
      next.scrapped.add(reading.piece);
      return next;
    }
    const before = at(job, reading), error = reading.bend - step.target;
    const fresh = reading.state === "reworked" || !before;
    const places = fresh ? [0, 0, 0, 0] : before.places.slice();
    places[PLACES.indexOf(reading.place || "")] = within(error, step) ? GOOD : BAD;
    const off = within(error, step) ? (before ? before.off : null) : { error, used: reading.stop };
    const bent = [...(before ? before.bent : []), ...(reading.state === "as-bent" ? [reading.place || ""] : [])];
    next.made.set(key(reading.piece, reading.step), { places, off, bent });
    if (!teaches(job, reading, error)) return next;
    next.used.set(reading.step, reading.stop);
    next.learned = told.add(job.learned, reading);
    return next;
  }

  // teaches reports whether a reading says how far the metal springs back: as bent, in
  // a run that is not stopped, with nothing that speaks against it, and not a bend that
  // was measured before. Where on a bend the service had a reading is not known here.
  function teaches(job, reading, error) {
    const before = at(job, reading), place = reading.place || "";
    const twice = Boolean(before) && before.bent.some((old) => !old || !place || old === place);
    const held = Boolean(job.table.halt) && job.table.halt.cause === "held";
    const clear = !twice && !held && !(reading.flags || []).length;
    return clear && reading.state === "as-bent" && Math.abs(error) < job.table.rules.far_off;
  }

  // What comes next --------------------------------------------------------

  function firstPiece(job) {
    let piece = 1;
    while (lost(job, piece)) piece++;
    return piece;
  }

  // sample lists the pieces that are measured: the first, every so-manieth, the last.
  function sample(job) {
    const every = Math.max(job.table.every, 1), pieces = [];
    let last = 0, due = 0;
    for (let piece = 1; piece <= job.table.pieces; piece++) {
      if (lost(job, piece)) continue;
      if (piece >= due) {
        pieces.push(piece);
        due = (Math.floor(piece / every) + 1) * every;
      }
      last = piece;
    }
    if (last > 0 && pieces[pieces.length - 1] !== last) pieces.push(last);
    return pieces;
  }

  // order lists every bend of the pieces: the first piece whole, the others by step,
  // or each piece whole.
  function* order(job, pieces) {
    const whole = job.table.by_piece ? pieces : pieces.slice(0, 1);
    for (const piece of whole) for (const { step } of job.table.steps) yield { piece, step };
    for (const { step } of job.table.steps) for (const piece of pieces.slice(whole.length)) yield { piece, step };
  }

  function next(job) {
    const first = firstPiece(job);
    for (const spot of order(job, sample(job))) {
      const made = at(job, spot);
      if (spot.piece === first && !job.table.released ? !accepted(made) : !made) return spot;
    }
    return null;
  }

  // gated: another piece must wait for the first one.
  function gated(job, piece) {
    const first = firstPiece(job);
    return !job.table.released && piece > first &&
      !(first <= job.table.pieces && job.table.steps.every(({ step }) => accepted(at(job, { piece: first, step }))));
  }

  // whyNot says why a bend may not be made now, and nothing when it may: the traveler
  // itself is not asked.
  function whyNot(job, { piece }) {
    if (lost(job, piece)) return phrase("lost", piece);
    if (!gated(job, piece)) return "";
    const due = nextDue(job);
    return phrase("gate", firstPiece(job)) + (due ? " " + phrase("gate-way", due.piece, due.step, due.words) : "");
  }

  // dueAt says what to do about a bend; stop is on the brake's scale.
  function dueAt(job, spot) {
    const step = stepOf(job.table, spot.step), made = at(job, spot);
    if (made && !accepted(made)) return rework(job, spot, step, made.off);
    const set = toldFor(job, step), stop = onScale(job.table, set.stop);
    return { ...spot, do: "bend", stop, why: set.why, words: phrase("due-bend", text(stop)) };
  }

  // toldFor is the stop to set for a step before it is bent, beside the one that was
  // last used where that taught, and where it comes from.
  function toldFor(job, step) {
    const back = told.springback(job.learned, step.step), { worth_moving: worth } = job.table.rules;
    if (back === null && !step.known) return { used: step.printed, stop: step.printed, why: step.why };
    const used = job.used.has(step.step) ? job.used.get(step.step) : step.used;
    const wanted = back === null ? step.told : tenths(job.table, step.target + Math.round(100 * back));
    const stop = Math.abs(wanted - used) <= worth ? used : wanted;
    return { used, stop, why: stop === step.printed ? phrase("why-printed") : back === null ? step.why : whyTold(job.learned) };
  }

  function whyTold({ guessed, taught, carried }) {
    if (guessed) return phrase("why-phone");
    const name = carried.of_job ? "why-job" : "why-pack";
    return taught === 1 ? phrase(name + "-one") : phrase(name, taught);
  }

  // tenths is the nearest stop in tenths of the brake's scale, as far as its leaf goes.
  function tenths(table, bend) {
    if (table.max_angle > 0 && bend >= table.max_angle) return table.max_angle;
    return fromScale(table, 10 * Math.round(onScale(table, bend) / 10));
  }

  function rework(job, spot, step, off) {
    const { table } = job, most = table.max_angle;
    const due = { ...spot, do: "decide", stop: onScale(table, off.used), why: phrase(off.error < 0 ? "why-under" : "why-over", text(Math.abs(off.error))) };
    const again = most > 0 ? Math.min(off.used - off.error, most) : off.used - off.error;
    if (off.error < 0 && again > off.used) {
      const stop = onScale(table, again);
      return { ...due, do: "bend-again", stop, words: phrase("due-again", text(stop)) };
    }
    if (off.error > 0 && off.error <= table.rules.open_by_hand) return { ...due, do: "open-by-hand", words: phrase("due-open") };
    const only = spot.piece === firstPiece(job) && !table.released;
    return { ...due, words: phrase(only ? "due-scrap-first" : "due-scrap", spot.piece) };
  }

  function nextDue(job) {
    const spot = next(job);
    return spot && dueAt(job, spot);
  }

  // What a reading means ---------------------------------------------------

  // judge says how a reading came out, whether it may be a slip of the thumb, what it
  // asks for, and what is due after it. after is the job with it.
  function judge(job, reading) {
    const step = stepOf(job.table, reading.step), error = reading.bend - step.target;
    const ask = reading.confirmed || reading.state === "scrapped" ? "" : question(job, step, reading, error);
    if (ask) return { error, ask, likely: likely(job, reading) };
    const after = add(job, reading), again = dueAt(after, reading);
    return {
      error, after, advice: advise(after, step, reading, error), in_tolerance: within(error, step), next: nextDue(after),
      again: reading.state === "scrapped" || again.do === "bend" ? null : again,
    };
  }

  function question(job, step, reading, error) {
    const { far_off: far } = job.table.rules;
    if (Math.abs(error) < far) return "";
    const measured = reading.opening ? 18000 - reading.bend : reading.bend, other = 18000 - measured;
    if (Math.abs(18000 - reading.bend - step.target) >= far) {
      return phrase("ask-off", text(measured), text(Math.abs(error)), text(step.target));
    }
    if (reading.opening) return phrase("ask-opening", text(measured), text(other), text(measured), text(measured));
    return phrase("ask-bend", text(measured), text(other), text(other), text(measured));
  }

  const possible = ({ rules: { least, most } }, { bend, opening }) =>
    (opening ? 18000 - bend : bend) >= least && (opening ? 18000 - bend : bend) <= most;

  // likely gives what was probably meant: the decimal point in another place, or the
  // other kind of angle.
  function likely(job, reading) {
    const step = stepOf(job.table, reading.step), measured = reading.opening ? 18000 - reading.bend : reading.bend;
    const near = (angle, opening) => Math.abs((opening ? 18000 - angle : angle) - step.target) < job.table.rules.far_off;
    const meant = [10 * measured, Math.trunc(measured / 10)].filter((angle) => near(angle, reading.opening))
      .map((angle) => ({ measured: angle, opening: Boolean(reading.opening) }));
    if (near(measured, !reading.opening)) meant.push({ measured, opening: !reading.opening });
    return meant;
  }

  function advise(job, step, reading, error) {
    const { thickness, rules: figures } = job.table;
    const off = reading.thickness ? Math.abs(reading.thickness - thickness) : 0;
    const mm = (micron) => (micron / 1000).toFixed(2);
    if (off > figures.sheet_wrong) return phrase("advice-wrong-sheet", mm(reading.thickness), mm(thickness));
    const said = [off > figures.sheet_doubtful ? phrase("advice-sheet", mm(reading.thickness), mm(thickness)) : ""];
    said.push(adviseBend(job, step, reading, error), adviseStop(job, step));
    return said.filter(Boolean).join(" ");
  }

  function adviseBend(job, step, reading, error) {
    const { table } = job, most = table.max_angle, by = text(Math.abs(error));
    if (reading.state === "scrapped") return phrase("advice-scrapped", reading.piece);
    if (within(error, step)) return phrase("advice-fine");
    if (error > 0) {
      const { open_by_hand: open } = table.rules;
      return error <= open ? phrase("advice-open", by) : phrase("advice-over", by, text(open, 0));
    }
    const again = reading.stop - error;
    if (most > 0 && again > most) return phrase("advice-most", by, text(onScale(table, most)));
    return phrase("advice-again", by, text(onScale(table, again)));
  }

  // adviseStop moves the stop for the pieces that still wait for the step.
  function adviseStop(job, step) {
    const { used, stop, why } = toldFor(job, step), waits = sample(job).some((piece) => !at(job, { piece, step: step.step }));
    return stop === used || !waits ? "" : phrase("advice-stop", text(onScale(job.table, stop)), why);
  }

  return { begin, add, judge, likely, possible, nextDue, dueAt, whyNot, firstPiece, sample, text, stepOf, onScale, fromScale };
})();
