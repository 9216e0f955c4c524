/* Jots what happens: each tap is kept on the tablet, each line is given out as plain text for the inbox. It reckons
   nothing: no dose is filled in, and nobody is called clear. */
(() => {
"use strict";
const book = window.FLOCKBOOK_JOT, place = document.getElementById("jot");
if (!book || !place) return;
const SHEEP = book.sheep.map(([tag, name, sex, due, mob, ground, lambed]) => ({ tag, name, sex, due, mob, ground, lambed, who: tag || name }));
const KINDS = [["lambed", "Lambing"], ["labour", "Labour seen"], ["treated", "Treatment"], ["fed", "Fed"],
  ["weighed", "Weighed"], ["moved", "Moved"], ["dead", "Dead"], ["remark", "Remark"]];
const LAYS = ["one leg back", "both legs back", "head back", "backwards", "breech", "tangled", "tight"];
const CAUSES = ["stillbirth", "hard birth", "starved", "exposure", "infection", "predator", "accident", "worms", "put down", "unknown"];
const FEEDS = ["ewe colostrum", "frozen", "replacer", "milk replacer"], HOWS = ["tube", "bottle", "teat"];

const el = (name, looks, ...inside) => { const made = document.createElement(name); if (looks) made.className = looks; made.append(...inside.filter(one => one !== "")); return made; };
const tap = (words, act, looks = "") => { const made = el("button", looks, ...[words].flat()); made.type = "button"; made.addEventListener("click", act); return made; };
const toggle = (words, on, act) => { const made = tap(words, act); made.setAttribute("aria-pressed", String(on)); return made; };
const two = number => String(number).padStart(2, "0");
const isoDay = at => `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
const said = iso => { const [y, m, d] = iso.split("-"); return `${+d} ${"Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ")[m - 1]} ${y}`; };
const single = text => text.replace(/[\u0000-\u001f\u007f-\u009f\u2028\u2029]+/g, " ").trim().replace(/ +/g, " ");

/* Two hits within a quarter of a second at one spot are one. */
let hit = { at: 0, x: -99, y: -99 };
place.addEventListener("click", event => {
  const again = event.timeStamp - hit.at < 250 && Math.hypot(event.clientX - hit.x, event.clientY - hit.y) < 12;
  if (again && event.detail) { event.stopPropagation(); event.preventDefault(); return; }
  hit = { at: event.timeStamp, x: event.clientX, y: event.clientY };
}, true);

/* What is kept: lines, the half-entered one, and the tablet's own mark. "Kept" is said when the disk has it. */
let store = null, refused = "", lines = [], about = {}, work = null, notice = "", view = home, seen = "";
const open = () => new Promise((done, fail) => {
  const asked = indexedDB.open(`flockbook jot ${book.flock}`, 1);
  asked.onupgradeneeded = () => { asked.result.createObjectStore("lines", { keyPath: "number" }); asked.result.createObjectStore("about"); };
  asked.onsuccess = () => done(asked.result);
  asked.onerror = asked.onblocked = () => fail(asked.error || new Error("blocked"));
});
const change = act => new Promise((done, fail) => {
  if (!store) { fail(new Error(refused)); return; }
  const once = store.transaction(["lines", "about"], "readwrite", { durability: "strict" });
  once.oncomplete = () => done();
  once.onerror = once.onabort = () => fail(once.error || new Error("not kept"));
  act(once.objectStore("lines"), once.objectStore("about"));
});
const readAll = name => new Promise((done, fail) => {
  const held = store.transaction(name).objectStore(name), asked = held.getAll();
  asked.onsuccess = () => done(asked.result);
  asked.onerror = () => fail(asked.error);
});
const readOne = key => new Promise((done, fail) => {
  const asked = store.transaction("about").objectStore("about").get(key);
  asked.onsuccess = () => done(asked.result);
  asked.onerror = () => fail(asked.error);
});
const notKept = error => { refused = `NOT kept: ${error && error.message || "this tablet keeps nothing"}. Write the line down by hand, or copy it.`; draw(); };
let last = Promise.resolve();
const keepWork = () => { last = last.then(() => change((_, held) => held.put(JSON.stringify(work), "work"))).catch(notKept); return last; };
const isFiled = line => book.filed.includes(line.text);
const waiting = () => lines.filter(line => !isFiled(line));

async function begin() {
  try {
    store = await open();
    const old = Date.now() - book.keep * 864e5;
    lines = await readAll("lines");
    const gone = lines.filter(line => isFiled(line) && line.at < old).map(line => line.number);
    about = { tablet: await readOne("tablet"), next: await readOne("next") || 1, day: "" };
    const kept = await readOne("work");
    work = kept ? JSON.parse(kept) : null;
    if (!about.tablet) about.tablet = [1, 2, 3].map(() => "bcdfghjkmnpqrstvwxz"[Math.floor(Math.random() * 19)]).join("");
    await change((all, held) => { held.put(about.tablet, "tablet"); gone.forEach(number => all.delete(number)); });
    lines = lines.filter(line => !gone.includes(line.number));
  } catch (error) { notKept(error); }
  draw();
}

/* The line as it stands. */
const behind = () => isoDay(new Date()) < book.made && !about.day;
function happened() {
  const at = new Date(Date.now() - (work.ago || 0) * 6e4);
  return `${about.day || isoDay(at)} ${two(at.getHours())}:${two(at.getMinutes())}`;
}
const weight = (typed, grown) => /\./.test(typed) || grown || typed.length < 2 ? typed : `${typed.slice(0, -1)}.${typed.slice(-1)}`;
const lambWords = lamb => [lamb.sex, lamb.kg && `${weight(lamb.kg)} ${book.unit}`, lamb.tag && `tag ${lamb.tag}`, lamb.dead && "stillborn",
  lamb.helped && "assisted", lamb.lay, lamb.weak && "weak", lamb.tubed && `tubed ${lamb.tubed} ml`].filter(Boolean).join(" ");
const RESTS = {
  lambed: () => work.lambs.map(lambWords).join("; "),
  labour: () => work.shows || "",
  treated: () => [work.medicine, work.typed && `${work.typed} ml`, work.reason && `for ${work.reason}`].filter(Boolean).join("; "),
  fed: () => [work.typed && `${work.typed} ml`, work.what, work.how].filter(Boolean).join("; "),
  weighed: () => work.typed ? `${work.typed} ${book.unit}` : "",
  moved: () => work.to ? `to ${work.to}` : "",
  dead: () => work.cause || "",
  remark: () => work.words || "",
};
const ready = { lambed: () => work.lambs.length, treated: () => work.medicine, fed: () => work.typed, weighed: () => work.typed, moved: () => work.to, remark: () => single(work.words || "") };
const plainLine = () => single(`${happened()} ${work.who} ${work.kind} ${RESTS[work.kind]().replace(/[\[\]]/g, "")}`);

/* Screens. */
function draw() {
  const shown = [];
  if (refused) { shown.push(el("p", "bad", refused)); }
  if (behind()) shown.push(el("p", "bad", `The clock of this tablet says ${said(isoDay(new Date()))}, before the book's day. Set the day: `, dayField()));
  if (notice) { const told = el("p", "kept", notice); told.setAttribute("role", "status"); shown.push(told); }
  shown.push(...(work ? screens[work.at || "who"]() : view()));
  place.replaceChildren(...shown);
  const screen = work ? `${work.kind} ${work.at}` : view.name;
  if (screen !== seen && seen) place.scrollIntoView();
  seen = screen;
}
function dayField() {
  const field = el("input");
  field.type = "date";
  field.value = about.day || isoDay(new Date());
  field.setAttribute("aria-label", "The day");
  field.addEventListener("change", () => { about.day = field.value; draw(); });
  return field;
}
const set = (...more) => { Object.assign(work, ...more); notice = ""; keepWork(); draw(); };
const start = kind => { work = { kind, at: "who", ending: "", lambs: [], ago: 0 }; notice = ""; keepWork(); draw(); };
const leave = () => { work = null; keepWork(); draw(); };

function home() {
  const kinds = el("div", "chips home", ...KINDS.map(([kind, words]) => tap(words, () => start(kind))));
  const count = waiting().length, word = `${count} line${count === 1 ? "" : "s"} not yet in the book`;
  const bar = el("div", "bar", tap(word, () => { view = list; draw(); }), tap("Give out", () => { view = give; notice = ""; draw(); }));
  return [kinds, bar];
}
function keypad(typed, act, point = false) {
  const keys = [..."123456789", point ? "." : "", "0", "⌫"].map(key => key === "" ? el("span") :
    tap(key, () => act(key === "⌫" ? typed.slice(0, -1) : key === "." && typed.includes(".") ? typed : typed + key)));
  const pad = el("div", "keys", ...keys);
  keys[11].setAttribute("aria-label", "Take back a figure");
  return pad;
}
const matching = ending => {
  const ewes = SHEEP.filter(one => !["lambed", "labour"].includes(work.kind) || one.sex === "ewe");
  return ending ? ewes.filter(one => one.tag.endsWith(ending)) : [];
};
function doubts(one) {
  const today = about.day || isoDay(new Date());
  if (work.kind !== "lambed" && work.kind !== "labour") return "";
  if (one.lambed) return `already lambed ${said(one.lambed)}`;
  return one.due && today < one.due ? `not due till ${said(one.due)}` : "";
}
function pick(one) {
  const facts = [one.due && !doubts(one) ? `due from ${said(one.due)}` : "", one.mob, one.ground].filter(Boolean).join(" · ");
  const words = [el("b", "", `${one.tag} ${one.name}`.trim()), facts];
  if (doubts(one)) words.push(el("span", "warn", ` ${doubts(one)}`));
  return tap(words, () => set({ who: one.who, called: `${one.tag} ${one.name}`.trim(), doubt: doubts(one), at: "what", typed: "" }));
}
const whole = words => set({ who: words, called: words, doubt: "", at: "what", typed: "" });

const screens = {
  who() {
    const found = matching(work.ending), shown = [el("p", "who", `${KINDS.find(([kind]) => kind === work.kind)[1]}: who? Type the end of the tag.`)];
    shown.push(el("p", "typed", work.ending || "…"), el("div", "picks", ...found.slice(0, 8).map(pick)));
    if (found.length > 8) shown.push(el("p", "", `and ${found.length - 8} more: type another figure in front`));
    if (work.ending && !found.length) shown.push(tap(`Nobody known ends so: write ${work.ending} all the same`, () => whole(`tag ${work.ending}`)));
    shown.push(keypad(work.ending, ending => set({ ending })));
    const others = SHEEP.filter(one => !one.tag && !["lambed", "labour"].includes(work.kind));
    if (!["lambed", "labour", "dead", "weighed", "fed"].includes(work.kind)) shown.push(el("div", "chips", ...book.mobs.map(mob => tap(`all ${mob}`, () => whole(mob)))));
    if (work.kind === "remark") shown.push(el("div", "chips", tap("no sheep", () => whole(""))));
    if (others.length && !work.ending) shown.push(el("div", "picks", ...others.slice(0, 12).map(pick)));
    return [...shown, el("div", "bar", tap("Back", leave))];
  },
  what: () => [el("p", "who", `${work.called || "No sheep"}`), ...(work.doubt ? [el("p", "warn", work.doubt)] : []), ...details[work.kind](), ...ending()],
};

const chips = (words, name) => el("div", "chips", ...words.map(word => toggle(word, work[name] === word, () => set({ [name]: work[name] === word ? "" : word }))));
const box = (label, name) => {
  const field = el("textarea");
  field.setAttribute("aria-label", label);
  field.placeholder = label;
  field.value = work[name] || "";
  field.addEventListener("input", () => { work[name] = field.value; keepWork(); redrawLine(); });
  return field;
};
const lastLamb = () => work.lambs[work.lambs.length - 1];
const change_ = more => set({ lambs: [...work.lambs.slice(0, -1), { ...lastLamb(), ...more }] });
const freeTag = () => {
  const used = [...work.lambs.map(lamb => lamb.tag || ""), ...waiting().flatMap(line => [...line.text.matchAll(/\btag ([\w/-]+)/g)].map(found => found[1]))];
  let tag = book.next;
  while (tag && used.includes(tag)) tag = tag.replace(/\d+$/, figures => String(+figures + 1).padStart(figures.length, "0"));
  return tag;
};
const details = {
  lambed() {
    const add = sex => tap(`+ ${sex} lamb`, () => set({ lambs: [...work.lambs, { sex }] }));
    const shown = [el("div", "chips", add("ewe"), add("ram"))];
    if (!work.lambs.length) return shown;
    const lamb = lastLamb(), tag = freeTag();
    shown.unshift(el("ol", "lambs", ...work.lambs.map((one, at) => el("li", "", tap(`${at + 1}. ${lambWords(one)}${at === work.lambs.length - 1 ? "" : "  (take out)"}`,
      () => at < work.lambs.length - 1 && set({ lambs: work.lambs.filter((_, other) => other !== at) }))))));
    shown.push(el("p", "typed", lamb.kg ? `${weight(lamb.kg)} ${book.unit}` : `weight in ${book.unit}: 4 1 is 4.1`), keypad(lamb.kg || "", kg => change_({ kg }), true));
    const flag = (words, name) => toggle(words, !!lamb[name], () => change_({ [name]: !lamb[name] }));
    shown.push(el("div", "chips", ...(tag || lamb.tag ? [toggle(`tag ${lamb.tag || tag}`, !!lamb.tag, () => change_({ tag: lamb.tag ? "" : tag }))] : []),
      flag("assisted", "helped"), ...LAYS.map(lay => toggle(lay, lamb.lay === lay, () => change_({ lay: lamb.lay === lay ? "" : lay }))),
      flag("stillborn", "dead"), flag("weak", "weak"), tap("take this lamb out", () => set({ lambs: work.lambs.slice(0, -1) }))));
    return shown;
  },
  labour: () => [chips(["waters", "shows one foot", "shows two feet", "shows nose"], "shows")],
  treated: () => [el("div", "chips", ...book.medicines.map(name => toggle(name, work.medicine === name, () => set({ medicine: name })))),
    el("p", "typed", work.typed ? `${work.typed} ml` : "dose in ml, as you gave it"), keypad(work.typed || "", typed => set({ typed }), true)],
  fed: () => [el("p", "typed", work.typed ? `${work.typed} ml` : "how much, in ml"), keypad(work.typed || "", typed => set({ typed })), chips(FEEDS, "what"), chips(HOWS, "how")],
  weighed: () => [el("p", "typed", work.typed ? `${work.typed} ${book.unit}` : `weight in ${book.unit}`), keypad(work.typed || "", typed => set({ typed }), true)],
  moved: () => [chips(book.places, "to"), box("or another place", "to")],
  dead: () => [chips(CAUSES, "cause")],
  remark: () => [box("What you saw", "words")],
};
function ending() {
  const agos = el("div", "chips", ...[0, 5, 15, 30, 60].map(ago => toggle(ago ? `${ago} min ago` : "now", (work.ago || 0) === ago, () => set({ ago }))));
  const line = el("p", "plainly"), keep = tap("Keep", keepLine, "main");
  line.dataset.line = "";
  line.textContent = plainLine();
  keep.disabled = !!(ready[work.kind] && !ready[work.kind]());
  return [agos, line, keep, el("div", "bar", tap("Other sheep", () => set({ at: "who", ending: "" })), tap("Leave it", leave))];
}
function redrawLine() {
  place.querySelector("[data-line]").textContent = plainLine();
  place.querySelector("button.main").disabled = !!(ready[work.kind] && !ready[work.kind]());
}

async function keepLine() {
  const number = about.next, text = `${plainLine()} [${about.tablet}-${number}]`;
  try {
    await change((all, held) => { all.add({ number, text, at: Date.now(), out: false }); held.put(number + 1, "next"); held.put("null", "work"); });
  } catch (error) { notKept(error); return; }
  about.next = number + 1;
  lines.push({ number, text, at: Date.now(), out: false });
  refused = "";
  notice = `Kept: ${text}`;
  work = null;
  draw();
}

function list() {
  const shown = waiting().slice().reverse().map(line => el("li", "", el("span", "", line.text), line.out ? el("b", "", " given out ") : "",
    book.stays[line.text] ? el("span", "warn", ` In the inbox, not filed: ${book.stays[line.text]}. `) : "",
    tap(line.out ? "Strike it" : "Take it back", () => takeBack(line))));
  const empty = shown.length ? [] : [el("p", "", "Every line is in the book.")];
  return [el("p", "who", "Not yet in the book"), ...empty, el("ul", "waiting", ...shown), el("div", "bar", tap("Back", () => { view = home; draw(); }))];
}
async function takeBack(line) {
  const now = new Date(), number = about.next, id = /\[([^\]]+)\]$/.exec(line.text)[1];
  const text = `${about.day || isoDay(now)} ${two(now.getHours())}:${two(now.getMinutes())} strike ${id} [${about.tablet}-${number}]`;
  try {
    await change((all, held) => line.out ? (all.add({ number, text, at: Date.now(), out: false }), held.put(number + 1, "next")) : all.delete(line.number));
  } catch (error) { notKept(error); return; }
  if (line.out) { about.next = number + 1; lines.push({ number, text, at: Date.now(), out: false }); }
  else lines = lines.filter(other => other !== line);
  notice = line.out ? `Kept: ${text}. A dose that was really given holds her all the same.` : "Taken back.";
  draw();
}

const allText = () => waiting().map(line => line.text).join("\n") + "\n";
async function givenOut(how) {
  const out = waiting().map(line => ({ ...line, out: true }));
  try { await change(all => out.forEach(line => all.put(line))); } catch (error) { notKept(error); return; }
  lines = lines.map(line => out.find(other => other.number === line.number) || line);
  notice = `${out.length} line${out.length === 1 ? "" : "s"} ${how}. They count as not in the book until the book shows them.`;
  draw();
}
function give() {
  const field = el("textarea"), name = `jot-${about.tablet || "tablet"}-${isoDay(new Date())}.txt`;
  field.readOnly = true;
  field.value = waiting().length ? allText() : "";
  field.setAttribute("aria-label", "All lines that are not yet in the book");
  const save = tap("Save as a file", () => {
    const link = el("a");
    link.href = URL.createObjectURL(new Blob([allText()], { type: "text/plain" }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 6e4);
    givenOut(`given out as ${name}`);
  });
  const copy = tap("Copy", () => {
    field.select();
    const done = document.execCommand("copy");
    if (done) givenOut("copied"); else { notice = "This tablet does not copy: hold the text and copy it yourself."; draw(); }
  });
  save.disabled = copy.disabled = !waiting().length;
  return [el("p", "who", "Give out: put the file, or the text, into the folder inbox of the notes"), el("div", "bar", save, copy), field,
    el("div", "bar", tap("Back", () => { view = home; draw(); }))];
}
begin();
})();
