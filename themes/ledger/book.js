/* Finds, sorts, sifts and counts days; every fact is on the page without it. A classic script, so that it
   runs from a stick: no modules, nothing fetched, nothing kept but the look. */
(() => {
"use strict";
const root = document.documentElement;

/* Night or day by hand, before the page is drawn, so that a dark shed is not lit up. */
const recall = () => { try { return localStorage.getItem("look"); } catch (refused) { return null; } };
const keep = look => { try { localStorage.setItem("look", look); } catch (refused) { /* this page only */ } };
if (/^(night|day)$/.test(recall()) && !root.className) root.className = recall();

const all = (selector, act) => document.querySelectorAll(selector).forEach(act);
const make = (name, looks = "", text = "") => Object.assign(document.createElement(name), { className: looks, textContent: text });
const button = (looks, text, act) => {
  const made = make("button", looks, text);
  made.type = "button";
  made.addEventListener("click", act);
  return made;
};

function lookSwitch() {
  const dark = matchMedia("(prefers-color-scheme: dark)").matches;
  const night = () => root.className ? root.className === "night" : dark;
  const words = () => night() ? "Day page" : "Night page";
  const turn = button("button", words(), () => {
    root.className = night() ? "day" : "night";
    keep(root.className);
    turn.textContent = words();
  });
  document.querySelector(".stamp").append(turn);
}

/* Days and minutes by the reader's clock. */
function moment(iso) {
  const part = /^(\d{4})-(\d\d)-(\d\d)(?:T(\d\d):(\d\d))?/.exec(iso);
  return part && { timed: !!part[4], at: new Date(+part[1], part[2] - 1, +part[3], part[4] || 0, part[5] || 0) };
}
const dayOf = date => Math.round(Date.UTC(date.getFullYear(), date.getMonth(), date.getDate()) / 864e5);
const count = (number, word) => `${number} ${word}${number === 1 ? "" : "s"}`;
function apart(iso, now) {
  const then = moment(iso);
  if (!then) return "";
  const minutes = Math.round((then.at - now) / 6e4), near = Math.abs(minutes);
  const days = dayOf(then.at) - dayOf(now), far = Math.abs(days);
  const told = (words, ahead) => ahead ? `in ${words}` : `${words} ago`;
  if (then.timed && near < 1) return "now";
  if (then.timed && near < 720) return told(near < 120 ? `${near} min` : `${Math.floor(near / 60)} h ${near % 60} min`, minutes > 0);
  if (far < 2) return ["yesterday", "today", "tomorrow"][days + 1];
  if (days < -60 || days > 400) return "";
  return told(far > 70 ? `about ${count(Math.round(far / 7), "week")}` : count(far, "day"), days > 0);
}
function countDays() {
  const now = new Date();
  all("time[data-count]", time => {
    const words = apart(time.dateTime, now);
    let beside = time.nextElementSibling;
    if (!beside || !beside.classList.contains("rel")) time.after(beside = make("span", "rel"));
    beside.textContent = words;
    beside.hidden = !words;
    beside.classList.toggle("late", time.dataset.count === "late" && / ago$|^yesterday$/.test(words));
  });
}

/* An old book says so. When it was made stands in stamp.css. */
function warnIfOld() {
  const stamp = getComputedStyle(root), made = moment(stamp.getPropertyValue("--made").replace(/["' ]/g, ""));
  if (!made) return;
  const age = (Date.now() - made.at) / 36e5, loud = (parseFloat(stamp.getPropertyValue("--loud-after")) || 24) + (made.timed ? 0 : 24);
  const old = age < 48 ? count(Math.floor(age), "hour") : count(Math.floor(age / 24), "day");
  const words = age < -1 ? "The clock is behind this book: check the date on this tablet."
    : age > loud ? `${old} old, and later notes are not in it: make it again.` : "";
  if (!words) return;
  const banner = make("div", "stale");
  banner.setAttribute("role", "status");
  banner.append(make("p", "", words));
  document.getElementById("main").before(banner);
}

/* Tables: sort, sift, tap a whole row. */
function worth(cell) {
  const time = cell.querySelector("time"), text = cell.textContent.trim();
  if (time) return time.dateTime;
  const number = /^[−-]?\d+(?:[.,]\d+)?/.exec(text);
  return number ? parseFloat(number[0].replace("−", "-").replace(",", ".")) : text.toLowerCase();
}
function sortBy(head, table) {
  const down = head.getAttribute("aria-sort") === "ascending", rows = table.tBodies[0];
  const order = (a, b) => typeof a + typeof b === "numbernumber" ? a - b : String(a).localeCompare(String(b), undefined, { numeric: true });
  const lines = [...rows.rows].map(row => ({ row, worth: worth(row.cells[head.cellIndex]) }));
  lines.sort((a, b) => (a.worth === "") - (b.worth === "") || (down ? -1 : 1) * order(a.worth, b.worth));
  rows.append(...lines.map(line => line.row));
  table.querySelectorAll("th[aria-sort]").forEach(other => other.setAttribute("aria-sort", other !== head ? "none" : down ? "descending" : "ascending"));
}
function sorting() {
  all("th[data-sort]", head => {
    const turn = button("", head.textContent, () => sortBy(head, head.closest("table")));
    head.setAttribute("aria-sort", "none");
    head.replaceChildren(turn);
  });
}
function sifting() {
  all("table[data-filter]", table => {
    const label = make("label", "", table.dataset.filter + " "), input = make("input"), told = make("span", "quiet"), bar = make("p", "sift");
    input.type = "search";
    told.setAttribute("role", "status");
    label.append(input);
    bar.append(label, told);
    table.closest(".scroll").before(bar);
    input.addEventListener("input", () => {
      const words = plain(input.value).split(" "), rows = [...table.tBodies[0].rows];
      rows.forEach(row => { const text = plain(row.textContent); row.hidden = !words.every(word => text.includes(word)); });
      told.textContent = input.value ? `${rows.filter(row => !row.hidden).length} of ${rows.length}` : "";
    });
  });
}
function tapRows() {
  document.addEventListener("click", event => {
    const row = event.target.closest("table.blocks tbody tr");
    if (!row || event.target.closest("a, button, input, label, summary") || String(getSelection())) return;
    const link = row.cells[0].querySelector("a");
    if (link) link.click();
  });
}

/* Find: pages, sheep, things, notes; a bare figure is first the end of a tag. */
const plain = text => String(text).toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, "").replace(/[^a-z0-9]+/g, " ").trim();
const prepare = list => list.map(line => {
  const title = plain(line[0]), first = title.split(" ")[0], sort = line[3];
  return { line, sort, tag: /[12]/.test(sort) && /\d/.test(first) ? first : "", title: ` ${title} `, words: ` ${plain(line[2])}` };
});
function value({ tag, title, words }, word) {
  if (tag === word) return 100;
  if (tag.endsWith(word) && /\d/.test(word)) return 80;
  if (tag.startsWith(word)) return 70;
  if (title.includes(` ${word}`)) return title.includes(` ${word} `) ? 60 : 50;
  return words.includes(` ${word}`) ? 10 : 0;
}
function find(entries, typed) {
  const words = plain(typed).split(" ").filter(Boolean), figures = !/[a-z]/.test(words), hits = [];
  for (const entry of entries) {
    const { line, sort } = entry, least = words.length && Math.min(...words.map(word => value(entry, word)));
    if (least) hits.push({ line, least, sort: figures && sort === 1 && least >= 70 ? -1 : sort });
  }
  return hits.sort((a, b) => a.sort - b.sort || b.least - a.least).map(hit => hit.line);
}
function finder() {
  const input = document.getElementById("find");
  if (!input) return;
  const form = input.form, frame = form.parentNode, prefix = document.body.dataset.root, panel = make("div", "found"), list = make("ul"), told = make("p");
  let entries = null, asked = false;
  told.setAttribute("role", "status");
  panel.hidden = true;
  panel.append(list, told);
  frame.append(panel);
  const known = () => entries || (Array.isArray(window.FLOCKBOOK_FIND) && (entries = prepare(window.FLOCKBOOK_FIND)));
  const load = () => {
    if (asked || known()) return;
    asked = true;
    const script = make("script");
    script.src = prefix + "find-data.js";
    script.onload = show;
    document.head.append(script);
  };
  function show() {
    const typed = input.value.trim();
    panel.hidden = !typed || !known();
    if (panel.hidden) return;
    const hits = find(entries, typed), shown = hits.slice(0, 12);
    list.replaceChildren(...shown.map(([title, href, words]) => {
      const item = make("li"), link = make("a", "", title);
      link.href = prefix + href;
      if (words) link.append(make("span", "", words.slice(0, 120)));
      item.append(link);
      return item;
    }));
    told.textContent = !hits.length ? `Nothing found for “${typed}”.` : hits.length > shown.length ? `${shown.length} of ${hits.length} shown; type more.` : "";
  }
  const step = by => {
    const links = [...list.querySelectorAll("a")], at = links.indexOf(document.activeElement) + by;
    (at < 0 ? input : links[at] || document.activeElement).focus();
  };
  input.addEventListener("focus", load);
  input.addEventListener("input", () => { load(); show(); });
  form.addEventListener("submit", event => {
    const first = !panel.hidden && list.querySelector("a");
    if (first) { event.preventDefault(); first.click(); }
  });
  frame.addEventListener("keydown", event => {
    const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (by) { event.preventDefault(); step(by); }
    if (event.key === "Escape") { panel.hidden = true; input.focus(); }
  });
  document.addEventListener("click", event => { if (!frame.contains(event.target)) panel.hidden = true; });
  const query = new URLSearchParams(location.search).get("q");
  if (query) { input.value = query; load(); show(); }
}

function start() {
  [countDays, warnIfOld, sorting, sifting, tapRows, finder, lookSwitch].forEach(part => {
    try { part(); } catch (fault) { console.error(fault); }
  });
  setInterval(countDays, 6e4);
}
document.readyState === "loading" ? document.addEventListener("DOMContentLoaded", start) : start();
})();
