package shoptest

// movable gives a page a clock that a test moves: time goes by in it as always, and
// besides as far as Pass says, which ends the waits of the page that are over then.
// What the phone takes for the time of day may be wrong by as much as Wrong says, also
// on the pages after it.
const movable = `(() => {
	const begin = setTimeout.bind(window), end = clearTimeout.bind(window), since = performance.now.bind(performance), Day = Date;
	const waits = new Map(), wrong = () => Number(name.startsWith("wrong by ") ? name.slice(9) : 0);
	let ahead = 0, last = 0;
	const now = () => since() + ahead;
	const wait = (one) => { one.real = begin(one.over, Math.max(0, one.at - now())); };
	performance.now = now;
	window.Date = class extends Day {
		constructor(...of) { super(...(of.length > 0 ? of : [Date.now()])); }
		static now() { return Day.now() + Math.round(ahead) + wrong(); }
	};
	window.setTimeout = (then, after = 0, ...of) => {
		const id = ++last, one = { at: now() + after, over: () => { waits.delete(id); then(...of); } };
		waits.set(id, one);
		wait(one);
		return id;
	};
	window.clearTimeout = (id) => {
		if (waits.has(id)) end(waits.get(id).real);
		waits.delete(id);
	};
	window.pass = (ms) => {
		ahead += ms;
		for (const one of [...waits.values()].sort((a, b) => a.at - b.at)) {
			end(one.real);
			if (one.at <= now()) one.over();
			else wait(one);
		}
	};
})()`
