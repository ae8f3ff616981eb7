// Where to stop the leaf once readings are in that the service has not seen: what it
// sends along with the table (learn.Carried, where the sums are explained) goes on
// here with further readings of the sheet as the service's model does. Go and this
// are held together by a test. Nothing here touches the page.
//
// Angles are degrees. A reading is {step, stop, bend, leg, by, tool, pack, opening}
// with stop and bend in hundredths, as rules.js has it.
"use strict";

const told = (() => {
  // begin makes the state that readings change. Nobody changes one that was given out.
  function begin(carried) {
    if (!carried) return null;
    const readers = new Map(), first = carried.mean.length - carried.readers.length;
    carried.readers.forEach(({ kind, name, precision }, i) => readers.set(kind + " " + name, { place: first + i, precision }));
    return { carried, means: carried.mean, cov: carried.cov, readers, held: carried.held, taught: carried.taught, guessed: false };
  }

  const clone = (so) => ({ ...so, means: so.means.slice(), cov: so.cov.map((row) => row.slice()), readers: new Map(so.readers) });
  const between = ({ cov }, i, j) => (i < j ? cov[j][i] : cov[i][j]);
  const of = (terms, value) => terms.reduce((sum, [place, weight]) => sum + weight * value(place), 0);
  const pairOf = ({ carried }, { by, tool }) => carried.pairs.find((pair) => pair.by === by && pair.tool === tool);

  // who lists the person and the tool of a reading; one who is new begins at 0.
  function who(so, reading) {
    const named = ["by", "tool"].filter((kind) => reading[kind]);
    return named.map((kind) => {
      const name = kind + " " + reading[kind], variance = so.carried.habits[kind];
      if (!so.readers.has(name)) {
        so.readers.set(name, { place: so.means.length, precision: 1 / variance });
        so.cov.push([...so.means.map(() => 0), variance]);
        so.means.push(0);
      }
      return { name, variance, ...so.readers.get(name) };
    });
  }

  // errorOf is the variance of a reading error.
  function errorOf(so, reading) {
    const { errors, habits } = so.carried, pair = pairOf(so, reading);
    return (pair ? pair.errors : errors)[reading.short ? 1 : 0] + (reading.by ? 0 : habits.by) + (reading.tool ? 0 : habits.tool);
  }

  function reckon(so, reading) {
    const terms = [[0, 1], [reading.metal, reading.share], ...who(so, reading).map(({ place }) => [place, -1])];
    const off = reading.springback - reading.usual - of(terms, (p) => so.means[p]);
    const along = so.means.map((_, i) => of(terms, (p) => between(so, i, p))), variance = of(terms, (p) => along[p]);
    return { off, along, variance, seen: variance + errorOf(so, reading) };
  }

  // learn takes in that what goes along with all this was off its expected value.
  function learn(so, along, off, variance) {
    so.means = so.means.map((mean, i) => mean + (along[i] / variance) * off);
    so.cov = so.cov.map((row, i) => row.map((value, j) => value - (along[i] * along[j]) / variance));
  }

  // teach takes a reading in, worth so much and moving no stop by more than most.
  function teach(so, reading, { off, along, variance, seen }, worth, most) {
    const least = Math.max(Math.abs(along[0]), Math.abs(along[0] + so.carried.habits.reach * along[reading.metal])) * Math.abs(off);
    learn(so, along, off, Math.max(variance + (seen - variance) / worth, least / most));
    so.taught++;
    who(so, reading).forEach((reader) => settle(so, reader));
  }

  // settle doubts less that somebody reads right who seems to, and more of who does not.
  function settle(so, { name, variance, place, precision: before }) {
    const { apart } = so.carried.habits, mean = so.means[place], own = between(so, place, place);
    const now = (apart + 1) / (apart * variance + mean * mean + own), more = now - before;
    if (Math.abs(more) < before / 20) return;
    so.readers.set(name, { place, precision: now });
    learn(so, so.means.map((_, i) => between(so, i, place)), -mean, own + 1 / more);
  }

  // add gives the state after one more reading that teaches.
  function add(before, logged) {
    const bend = before && before.carried.bends[logged.step];
    if (!bend || (logged.pack && logged.pack !== before.carried.pack)) return before;
    const so = clone(before), { held } = so, { habits } = so.carried, { leg, by = "", tool = "" } = logged;
    const reading = { ...bend, by, tool, springback: (logged.stop - logged.bend) / 100, short: leg > 0 && leg < habits.least_leg };
    const pair = pairOf(so, reading), asked = Boolean(pair) && pair.asked;
    so.guessed = so.guessed || ["by", "tool"].some((kind) => reading[kind] && !before.readers.has(kind + " " + reading[kind]));
    so.cov[0][0] += habits.drift;
    const earlier = held ? reckon(so, held).off : 0;
    let now = reckon(so, reading);
    const confirmed = !asked && Math.abs(now.off) < habits.far_off && agrees(now.off, earlier);
    if (confirmed) {
      teach(so, held, reckon(so, held), 1, habits.most / 2);
      now = reckon(so, reading);
    }
    so.held = null;
    if (Math.abs(now.off) >= habits.far_off || (asked && !logged.opening)) return so;
    const u = now.off / Math.sqrt(now.seen);
    if (confirmed) teach(so, reading, now, 1, habits.most / 2);
    else if (Math.abs(u) > habits.doubt) so.held = reading;
    else teach(so, reading, now, Math.min(1, (habits.tails + 1) / (habits.tails + u * u)), habits.most);
    return so;
  }

  // agrees: off on the same side as one that is held back, by half as much at least.
  const agrees = (off, earlier) => off * earlier > 0 && Math.abs(off) > Math.abs(earlier) / 2;

  // springback is what is expected of a step; null where no reading here has taught.
  function springback(so, step) {
    const bend = so && so.carried.bends[step];
    if (!bend || so.taught === so.carried.taught) return null;
    return bend.usual + so.means[0] + bend.share * so.means[bend.metal];
  }

  return { begin, add, springback };
})();
