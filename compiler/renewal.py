"""What a served page needs to renew itself. It is added while serving and never stands on the disk."""

from __future__ import annotations

import hashlib

STATE, SCRIPT_PATH = "-/state", "-/renew.js"  # no file of a book has such a path
POLICY, WIDER = b"default-src 'none';", b"default-src 'none'; connect-src 'self';"

SCRIPT = r"""(() => {
"use strict";
const script = document.currentScript, page = script.dataset.page, held = "renewed:" + location.pathname;
let version = "", panel = null;

const folds = () => [...document.querySelectorAll("details")];
function keep() {
  const open = folds().map(fold => fold.open);
  try { sessionStorage.setItem(held, JSON.stringify({ x: scrollX, y: scrollY, open })); } catch (refused) { /* top */ }
}
function restore() {
  let kept = null;
  try {
    kept = JSON.parse(sessionStorage.getItem(held));
    sessionStorage.removeItem(held);
  } catch (refused) { /* top */ }
  if (!kept) return;
  const all = folds();
  if (all.length === kept.open.length) all.forEach((fold, place) => { fold.open = kept.open[place]; });
  scrollTo({ left: kept.x, top: kept.y, behavior: "instant" });
}
const typing = () => {
  const at = document.activeElement;
  return Boolean(at && /^(INPUT|TEXTAREA|SELECT)$/.test(at.tagName) && at.value);
};
function show(told) {
  if (panel) panel.remove();
  panel = null;
  if (!told.length) return;
  panel = document.createElement("aside");
  panel.className = "stale";
  panel.setAttribute("role", "status");
  for (const line of told) panel.append(Object.assign(document.createElement("p"), { textContent: line }));
  document.getElementById("main")?.before(panel);
}
async function look() {
  try {
    const where = `${script.dataset.root}-/state?page=${encodeURIComponent(page)}`;
    const found = await (await fetch(where, { cache: "no-store" })).json();
    if (found.version !== version) show(found.told);
    version = found.version;
    const stale = found.page !== script.dataset.digest || found.stamp !== script.dataset.stamp;
    if (stale && !found.busy && !typing()) { keep(); location.reload(); return; }
  } catch (gone) {
    show(["The program that keeps this book fresh does not answer: this page is as it was."]);
    version = "";
  }
  setTimeout(look, document.hidden ? 5000 : 500);
}
addEventListener("load", () => { restore(); look(); });
})();
"""


def brief_digest(data: bytes | None) -> str:
    """A short digest of a page, "" for none."""
    return hashlib.blake2b(data, digest_size=8).hexdigest() if data is not None else ""


def renewing(page: str, data: bytes, stamp: str) -> bytes:
    """A page that asks whether it is still as it stands on the disk, and is loaded anew when it is not."""
    root = "../" * page.count("/")
    words = f'data-page="{page}" data-root="{root}" data-digest="{brief_digest(data)}" data-stamp="{stamp}"'
    script = f'<script src="{root}{SCRIPT_PATH}" {words}></script>\n</head>'.encode()
    return data.replace(POLICY, WIDER, 1).replace(b"</head>", script, 1)
