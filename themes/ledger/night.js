/* The night board: how much of an hour is left, as a bar; hatched once it is over. Clock times stand without it. */
(() => {
"use strict";
function drawLeft(time) {
  const row = time.closest("li"), minutes = (new Date(time.dateTime) - Date.now()) / 6e4;
  let bar = row.querySelector(".left");
  if (!bar) {
    bar = row.appendChild(document.createElement("span"));
    bar.className = "left";
    bar.append(document.createElement("i"));
  }
  bar.firstChild.style.width = `${Math.max(0, Math.min(100, minutes / 0.6))}%`;
  bar.classList.toggle("over", minutes <= 0);
}
const draw = () => document.querySelectorAll(".board time[datetime*=T]").forEach(drawLeft);
document.addEventListener("DOMContentLoaded", draw);
setInterval(draw, 6e4);
})();
