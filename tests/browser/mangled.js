/** Mangled links, notebook files and stores, and the checks for all data that comes in through these three doors.
tests/browser/mangled.py evaluates this function in a page of the service.

({samples, seed}) => {links(i), files(i), stores(i), through(door, from, count)}: case i of a seed is always the same. */

(({ samples, seed }) => {
  const RAW = { deep: "[".repeat(50_000) + "]".repeat(50_000), over: "1e400", minus: "-0", long: "9".repeat(400), odd: '"\\ud800"',
                nan: "NaN", twice: '{"a":1,"a":2}', huge: JSON.stringify("x".repeat(300_000)), proto: '{"__proto__":{"units":"x"}}' };
  const raw = (name) => `@${name}@`;
  const JUNK = [null, true, false, 0, -1, 1, 0.1, 5, 1e15, 1e300, 8.64e15 + 1, "", "x", "constructor", "__proto__", "metric", "1,5", "<b>x</b>",
                "\u0000", [], {}, [[]], [null], [{}], { key: "a" }, { kind: "box" }, { kind: "constructor" }, ...Object.keys(RAW).map(raw)];
  const NAMES = ["__proto__", "constructor", "toString", "key", "name", "kind", "length", "version", "units", "x"];
  const BAD_BYTES = [0, 9, 34, 92, 123, 128, 192, 237, 255];

  /** Numbers from 0 to 1, the same for the same seed. */
  function chanceOf(number) {
    let state = (seed * 1_000_003 + number * 7919) >>> 0;
    return () => {
      state = (state + 0x6d2b79f5) >>> 0;
      let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
      mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
      return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
    };
  }

  const tools = (chance) => {
    const upTo = (count) => Math.floor(chance() * count);
    const one = (list) => list[upTo(list.length)];
    return { chance, upTo, one, often: (share) => chance() < share };
  };

  /** A non-empty object or list somewhere in a value, few steps down. Every branch is as likely as another, so that small
  parts are chosen as often as large answers. */
  function somewhere(value, { one, often }) {
    let place = value;
    while (often(0.8)) {
      const below = Object.values(place).filter((each) => each !== null && typeof each === "object" && Object.keys(each).length);
      if (!below.length) break;
      place = one(below);
    }
    return place;
  }

  const classes = new Map();      // sample -> {path without numbers: [path]}

  /** A random field. Every kind of field is as likely as another, however many lines or points there are. */
  function someField(sample, root, { one }) {
    if (!classes.has(sample)) {
      const found = {};
      for (const rest = [[]]; rest.length;) {
        const path = rest.pop();
        const value = path.reduce((each, name) => each[name], sample);
        if (path.length) (found[path.filter((name) => Number.isNaN(Number(name))).join("/")] ??= []).push(path);
        if (value !== null && typeof value === "object" && !["answers", "last"].includes(path.at(-1))) {
          rest.push(...Object.keys(value).map((name) => [...path, name]));
        }
      }
      classes.set(sample, Object.values(found));
    }
    const path = one(one(classes.get(sample)));
    const holder = path.slice(0, -1).reduce((each, name) => each?.[name], root.value);
    return holder !== null && typeof holder === "object" && Object.hasOwn(holder, path.at(-1)) ? [holder, path.at(-1)] : null;
  }

  /** Sets a field even when its name is __proto__. */
  const put = (holder, name, value) => Object.defineProperty(holder, name, { value, enumerable: true, configurable: true, writable: true });

  /** A value with a few changes: types, fields, entries. */
  function mangleValue(value, tool) {
    const { one, often } = tool;
    const root = { value: structuredClone(value) };
    for (let count = one([1, 1, 1, 2, 3, 6]); count > 0; count -= 1) {
      const other = somewhere(root, tool);
      const anywhere = somewhere(root, tool);
      if (!Object.keys(anywhere).length) break;
      const [holder, name] = (often(0.7) && someField(value, root, tool)) || [anywhere, one(Object.keys(anywhere))];
      const old = structuredClone(holder[name]);
      const junk = () => structuredClone(one(JUNK));
      const moves = [
        () => put(holder, name, junk()),
        () => put(holder, name, junk()),
        () => { if (Array.isArray(holder)) holder.splice(Number(name), 1); else delete holder[name]; },
        () => { if (Array.isArray(holder)) holder.push(junk()); else put(holder, one(NAMES), junk()); },
        () => { if (Array.isArray(holder)) holder.push(old); else put(holder, one([...Object.keys(other), ...NAMES]), old); },
        () => put(holder, name, structuredClone(other)),
        () => put(holder, name, typeof old === "number" ? old * one([-1, 0.5, 1e6, 1e60, 1e290]) : typeof old === "string" ? old.repeat(one([0, 2, 600])) : [old]),
        () => put(holder, name, Array.isArray(old) && often(0.3) ? Array.from({ length: 9000 }, () => old[0] ?? null) : junk()),
      ];
      one(moves)();
    }
    return root.value;
  }

  const textOf = (value) => (JSON.stringify(value) ?? "null").replace(/"@(\w+)@"/g, (whole, name) => RAW[name] ?? whole);

  /** A text with some of its characters changed. */
  function mangleText(text, { upTo, one }) {
    const at = upTo(text.length + 1);
    const moves = [
      () => text.slice(0, at),
      () => text.slice(at),
      () => text.slice(0, at) + one(["", "\"", "}", "]", ",", "\\", "\u0000", "\ud83c", "9", "e", "-", "null", "\"a\":1,\"a\":2,"]) + text.slice(at + upTo(4)),
      () => text.slice(0, at) + text.slice(at, at + upTo(200)).repeat(2) + text.slice(at),
      () => text.replace(/"(\w+)":/, "\"$1\":1,\"$1\":"),
      () => `\ufeff${text}`,
      () => one(["", " ", "null", "5", "\"x\"", "[]", "{}", "[[[[", "{\"version\":1}", "undefined", "\u0000"]),
      () => Array.from({ length: upTo(200) }, () => String.fromCharCode(upTo(65536))).join(""),
    ];
    return one(moves)();
  }

  const mangled = (value, tool) => (tool.often(0.8) ? textOf(mangleValue(value, tool)) : mangleText(JSON.stringify(value), tool));

  const base64 = (bytes) => {
    let binary = "";
    for (const byte of bytes) binary += String.fromCharCode(byte);
    return btoa(binary).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
  };

  async function packed(bytes, format) {
    return new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(new CompressionStream(format))).arrayBuffer());
  }

  async function links(number) {
    const tool = tools(chanceOf(3 * number));
    const { upTo, one, often } = tool;
    const bytes = new TextEncoder().encode(mangled(one(samples.links), tool));
    if (often(0.75)) return `#plan=${base64(await packed(bytes, "deflate-raw"))}`;
    if (often(0.2)) return `#plan=${base64(await packed(bytes, one(["gzip", "deflate"])))}`;
    const whole = await packed(often(0.1) ? new Uint8Array(30_000_000) : new TextEncoder().encode(JSON.stringify(one(samples.links))), "deflate-raw");
    for (let count = 1 + upTo(4); count > 0; count -= 1) whole[upTo(whole.length)] = often(0.5) ? upTo(256) : one(BAD_BYTES);
    const text = base64(whole.slice(0, often(0.5) ? whole.length : upTo(whole.length)));
    const cut = upTo(text.length + 1);
    return one([`#plan=${text}`, `#plan=${text.slice(0, cut)}`, `#plan=${text.slice(0, cut)}%${text.slice(cut)}`, `#plan=${text}&plan=x`,
                `#plan=${"A".repeat(250_000)}`, `#plan=${text.slice(0, cut)}é=${text.slice(cut)}`, "#plan", "#plan=", "#%", `#${text}`]);
  }

  function files(number) {
    const tool = tools(chanceOf(3 * number + 1));
    return mangled(tool.one(samples.files), tool);
  }

  const values = new Map();

  /** The value of a stored text, the same object each time; null for a bare word, such as the language. */
  function parsed(text) {
    if (!values.has(text)) {
      try {
        values.set(text, JSON.parse(text));
      } catch {
        values.set(text, null);
      }
    }
    return values.get(text);
  }

  /** {key: text} as a browser might store it. */
  function stores(number) {
    const tool = tools(chanceOf(3 * number + 2));
    const stored = { ...tool.one(samples.stores) };
    const keys = Object.keys(stored);
    for (const key of tool.often(0.7) ? [tool.one(keys)] : keys) {
      const value = parsed(stored[key]);
      stored[key] = value === null ? tool.one([...JUNK.filter((each) => typeof each === "string"), ...NAMES]) : mangled(value, tool);
    }
    if (tool.often(0.05)) stored["scaldloaf.language"] = tool.one(NAMES);
    return stored;
  }

  // ---- Checks

  /** A storage whose keys are its own fields, as in a browser. */
  const storageOf = (stored) => Object.assign(Object.create({
    getItem(key) { return Object.hasOwn(this, key) ? this[key] : null; },
    setItem(key, text) { this[key] = String(text); },
    removeItem(key) { delete this[key]; },
  }), stored);

  async function modules() {
    const names = ["page/bench", "state/kept", "state/notebook", "state/saved", "state/schema", "state/work", "state/aside",
                   "state/open-link", "service/requests", "service/plan-request", "service/learn-requests",
                   "service/sugar-request", "service/compare-requests", "service/tasting-requests", "service/cost-request", "state/link", "sections/tonight", "sections/formula-section", "sections/water-section",
                   "sections/fill-section", "sections/compare-section", "sections/sugar-section", "sections/weigh-section",
                   "sections/plan-section", "sections/log-bakes", "sections/log-more", "sections/log-section",
                   "sections/notebook-section", "sections/safety-section", "sections/water-more", "sections/cost-part", "sections/tasting"];
    const all = await Promise.all(names.map((name) => import(`/${name}.js`)));
    return Object.assign({}, ...all);
  }

  const { fetch } = window;
  const facts = new Map();
  /** Answers requests for facts once and calls never: these cases only check that the page starts. */
  window.fetch = async (address, options = {}) => {
    if (options.method === "POST") throw new TypeError("no service here");
    if (!facts.has(address)) facts.set(address, fetch(address, options).then((response) => response.text()));
    return new Response(await facts.get(address));
  };

  /** Assembles the page on a storage as main.js does, draws everything and writes every request. */
  async function started(page, storage) {
    const parts = [];
    const said = [];
    const bench = await page.createBench(storage, { recalculate() {}, mark() {}, notSaved: (why = "storage") => said.push(why),
                                                    redraw: () => { for (const part of parts) part.refresh(); },
                                                    notice: (...content) => said.push(...content), showAnswers() {} });
    await Promise.all([bench.t.more(), bench.learnTables()]);
    for (const make of [page.formulaSection, page.waterSection, page.fillSection, page.compareSection, page.sugarSection,
                        page.logSection, page.waterMore, page.costPart]) parts.push(make(bench));
    // Without one it would begin one.
    if (bench.notebook.state.tastings?.length) parts.push(page.tastingPart(bench, () => [], () => {}, null));
    parts.push(page.notebookSection(bench, () => {}, () => {}));
    for (const make of [page.tonightSection, page.weighSection]) parts.push(make(bench, async () => {}));
    const plan = page.planSections(bench, () => {});
    parts.push(...plan.sections.map(([, section]) => section), page.safetySection(bench, plan.cautions));
    const node = document.createElement("div");
    node.append(...parts.map((part) => part.node), ...page.keptSaid(bench, null));
    bench.redraw();
    const { state, notebook } = bench;
    const columns = page.columnsOf(notebook.state);
    for (const column of columns) {
      const more = page.moreOf(bench, column, { renamed() {}, scored() {}, more() {}, close() {}, remove() {}, changedTrial() {} });
      node.append(more.node);
      more.forget();
    }
    const units = bench.units();
    const formula = page.wireFormula(state.formula, units);
    const requests = [page.breakdownRequest(state, units), page.correctionRequest(state, units, bench.isLiquid), page.panFillRequest(state, units, { share: 20, off: 0 }),
                      page.sugarRequest(state, units, formula), page.weighOutRequest(state, units, formula, 500), page.planRequest(state, units, bench.isLiquid, ["water"]),
                      page.trialFitRequest(state, page.measuredTrials(notebook.state.trials), units), page.keepingRequest(columns, page.titlesOf(bench, columns), notebook.state.keeping, units),
                      page.compareRequest(state, units, bench.isLiquid, { scalded_share_percent: 20, hydration_percent: 66 }, (state.compare ?? [30]).map(page.wholeBread), []),
                      ...(notebook.state.tastings ?? []).flatMap((tasting) => [page.tastingPlanRequest(tasting), page.tastingResultRequest(tasting, { sheets: [], tasters: 9 })]),
                      page.costRequest(state, units, notebook.state.prices ?? [], { water: { formula }, fill: { pans: 1, dough_mass: { best: 440 } } })].filter(Boolean);
    for (const { body, place } of requests) {
      JSON.stringify(body);
      place("/formula/lines/0/mass");
    }
    const entries = { work: state, trials: notebook.state.trials };
    const answered = page.keptAnswers(storage, page.entriesOf("weigh", entries), units.wire);
    for (const answers of [answered, ...notebook.state.breads.map((bread) => page.fitting(bread.answers, units.wire) && bread.answers)]) {
      if (!answers) continue;
      const run = { ...structuredClone(entries), replies: {} };
      bench.answers.hold(run, "fill-before", answers["fill-before"] ?? null);
      for (const step of page.STEPS) bench.answers.hold(run, step, answers[step]);
      for (const part of parts) part.markShareOf?.(run.replies.formula);
      for (const { step, beside = [], answer } of parts) {
        const from = [step, ...beside];
        if (answer && from.every((name) => name in run.replies)) answer.show(...from.map((name) => run.replies[name]));
      }
    }
    for (const part of parts) node.append(part.summary?.() ?? "");
    if (/\b(NaN|undefined|\[object)/.test(node.textContent)) throw new Error(`shown: ${/.{20}(NaN|undefined|\[object).{20}/s.exec(node.textContent)?.[0]}`);
    return { bench, said, node };
  }

  const must = (truth, what) => { if (!truth) throw new Error(what); };
  const keptKeys = ["scaldloaf.work", "scaldloaf.notebook"];

  /** Whether one value contains all of another: the page may complete saved data, but change nothing else. */
  function within(part, whole) {
    if (part === null || typeof part !== "object") return Object.is(part, whole) || (part === 0 && whole === 0);
    return whole !== null && typeof whole === "object" && Array.isArray(part) === Array.isArray(whole)
      && Object.keys(part).every((name) => Object.hasOwn(whole, name) && within(part[name], whole[name]))
      && (!Array.isArray(part) || part.length === whole.length);
  }

  const DEEP = 200;     // levels: nothing that the page uses is so deep, and the stack holds no more than some thousand

  /** The same without keys, which the page assigns, and without settings of the browser. */
  function keyless(value, depth = 0) {
    if (value === null || typeof value !== "object") return value;
    if (depth > DEEP) return "deeper";
    const inside = (each) => keyless(each, depth + 1);
    if (Array.isArray(value)) return value.map(inside);
    return Object.fromEntries(Object.entries(value).filter(([name]) => !["key", "version", "units"].includes(name)).map(([name, each]) => [name, inside(each)]));
  }

  const taken = (given, kept) => within(keyless(given), keyless(kept));

  const isSound = ({ bench }) => bench.unused.length === 0;
  const aside = (storage) => Object.keys(storage).filter((key) => key.includes(".unreadable")).map((key) => storage[key]);

  async function throughStore(page, stored) {
    const storage = storageOf(stored);
    const first = await started(page, storage);
    for (const key of keptKeys.filter((each) => Object.hasOwn(stored, each))) {
      let same = false;
      try {
        same = within(JSON.parse(stored[key]), key === keptKeys[0] ? first.bench.state : first.bench.notebook.state);
      } catch { /* not JSON */ }
      must(same || aside(storage).includes(stored[key]), `${key} is neither used whole nor set aside`);
    }
    must(isSound(first) === (aside(storage).length === 0), "what is set aside is not said, or something is said for nothing");
    const before = JSON.stringify([first.bench.state, first.bench.notebook.state]);
    first.bench.keep((work) => { work.ticked = [...work.ticked]; });
    first.bench.notebook.change(() => {});
    const again = await started(page, storage);
    must(isSound(again), "what was kept of it is not sound at the next start");
    must(JSON.stringify([again.bench.state, again.bench.notebook.state]) === before, "the next start has something else");
    return isSound(first) ? "opened" : "in part";
  }

  let ready = null;

  /** The page started on sound data; starts again only when the last case changed it. */
  async function readyPage(page) {
    if (ready) ready.said.length = 0;
    else {
      const storage = storageOf(samples.good);
      ready = { storage, ...await started(page, storage) };
    }
    const taken = ready;
    ready = null;
    return { ...taken, unchanged() { ready = taken; } };
  }

  async function throughLink(page, fragment) {
    const { storage, bench, said, unchanged } = await readyPage(page);
    const before = JSON.stringify(storage);
    const state = JSON.stringify([bench.state, bench.notebook.state]);
    const work = JSON.stringify(bench.work());
    await page.openLink(bench, fragment);
    if (JSON.stringify(storage) === before) {
      must(said.length === 1 || !/^#.*\bplan\b/.test(fragment), `a refused link says ${said.length} things`);
      must(JSON.stringify([bench.state, bench.notebook.state]) === state, "a refused link changed the work");
      unchanged();
      return "refused";
    }
    const next = await started(page, storage);
    must(isSound(next) && aside(storage).length === 0, "a link was opened that is not sound at the next start");
    must(next.bench.notebook.state.breads.some((bread) => JSON.stringify(bread.work) === work), "the work before the link is lost");
    const { ticked, ...plan } = JSON.parse(await page.planTextOf(fragment));       // no ticks of another bread
    must(taken(plan, bench.state) && bench.state.ticked.length === 0, "a link was opened in part");
    return "opened";
  }

  /** The entries of a list in a file, directly or in the texts of a page that could not start. */
  function entriesIn(text, list) {
    const value = JSON.parse(text);
    const inside = Object.values(value.stored ?? {}).flatMap((each) => {
      try {
        return [JSON.parse(each)];
      } catch {
        return [];
      }
    });
    const works = list === "breads" ? inside.filter((each) => each?.formula).map((work) => ({ work })) : [];
    return [...[value, ...inside].flatMap((each) => (Array.isArray(each?.[list]) ? each[list] : [])), ...works];
  }

  async function throughFile(page, text) {
    const { storage, bench, node, unchanged } = await readyPage(page);
    const before = JSON.stringify(storage);
    const own = structuredClone(bench.notebook.state);
    const input = node.querySelector(".section-notebook input[type=file]");
    const said = node.querySelector(".section-notebook .said");
    said.replaceChildren();
    const carried = new DataTransfer();
    carried.items.add(new File([text], "mangled.json"));
    input.files = carried.files;
    input.dispatchEvent(new Event("change"));
    for (let wait = 0; said.textContent === "" && wait < 1000; wait += 1) await new Promise((done) => { setTimeout(done); });
    must(said.textContent !== "", "nothing is said of a file");
    const now = bench.notebook.state;
    for (const list of page.LISTS) must(JSON.stringify(now[list]?.slice(0, own[list]?.length ?? 0) ?? []) === JSON.stringify(own[list] ?? []), `${list} changed`);
    must(JSON.stringify(now.keeping) === JSON.stringify(own.keeping), "the limit changed");
    if (JSON.stringify(storage) === before) {
      unchanged();
      return "refused";
    }
    must(isSound(await started(page, storage)), "what a file brought is not sound at the next start");
    const read = await new Blob([text]).text();
    for (const list of page.LISTS) {
      const given = entriesIn(read, list);
      for (const entry of now[list]?.slice(own[list]?.length ?? 0) ?? []) must(given.some((each) => taken(each, entry)), `of ${list} an entry was read in part`);
    }
    return said.textContent.includes("not read") ? "in part" : "opened";
  }

  const doors = { links: [links, throughLink], files: [files, throughFile], stores: [stores, throughStore] };
  let page = null;

  return {
    links, files, stores, textOf, mangleValue,
    /** Runs cases of one door: {found: [faults], opened, "in part", refused: counts}. */
    async through(door, from, count) {
      page ??= await modules();
      const result = { found: [], opened: 0, "in part": 0, refused: 0 };
      const loose = [];
      const note = (event) => loose.push(String(event.reason ?? event.message));
      for (const kind of ["error", "unhandledrejection"]) addEventListener(kind, note);
      const [make, go] = doors[door];
      for (let number = from; number < from + count; number += 1) {
        try {
          result[await go(page, await make(number))] += 1;
          must(Object.prototype.units === undefined && Object.keys(Object.prototype).length === 0, "Object.prototype was changed");
          must(loose.length === 0, `thrown where nothing catches it: ${loose.splice(0)}`);
        } catch (error) {
          result.found.push(`${door} ${number}: ${error.message} ${error.stack?.split("\n").slice(1, 4).join(" < ") ?? ""}`);
        }
      }
      for (const kind of ["error", "unhandledrejection"]) removeEventListener(kind, note);
      return result;
    },
  };
})
