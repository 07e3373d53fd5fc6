// Use a page as a reader would: sort by pressing heads and by keys, filter, open the address again, do without the script, print.
// Prints what was seen as JSON. Usage: node use.mjs CHROMIUM PAGE.html TABLE DEPOT STATUS [FOLDER]
// TABLE is a selector of the table to sort; into FOLDER the page goes as A4.pdf and Letter.pdf.
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const QUIET = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync"];
const [executablePath, file, sorted, depot, status, folder] = process.argv.slice(2);
const page = pathToFileURL(file).href;
const browser = await chromium.launch({ executablePath, headless: true, args: QUIET });
const said = [];

async function opened(address, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, ...options });
  const tab = await context.newPage();
  tab.on("console", (message) => said.push(`console: ${message.text()}`));
  tab.on("pageerror", (error) => said.push(`error: ${error}`));
  tab.on("request", (request) => request.url().startsWith("file:") || said.push(`request: ${request.url()}`));
  await tab.goto(address);
  return tab;
}

// The table to sort: each column's cells from top to bottom, and what its heads say of the order.
const table = (tab) => tab.evaluate((which) => {
  const one = document.querySelector(which);
  return {
    first: [...one.tBodies[0].rows].map((row) => row.cells[0].textContent.trim()),
    sorted: [...one.querySelectorAll("thead th")].map((head) => head.getAttribute("aria-sort")),
  };
}, sorted);
const filtered = (tab) => tab.evaluate(() => ({
  shown: [...document.querySelectorAll(".filtered tbody tr")].filter((row) => !row.closest("[hidden]"))
    .map((row) => [row.dataset.depot, row.dataset.status]),
  all: document.querySelectorAll(".filtered tbody tr").length,
  live: document.getElementById("filter-count").textContent,
  role: document.getElementById("filter-count").getAttribute("role"),
  box: !document.getElementById("filter").hidden,
  depot: document.getElementById("filter-depot").value,
  status: document.getElementById("filter-status").value,
  folded: [...document.querySelectorAll("details:not([open]) .filtered tbody tr")].filter((row) => !row.hidden).length,
}));

const seen = {};
const tab = await opened(page);
seen.before = await table(tab);
seen.unfiltered = await filtered(tab);
await tab.click(`${sorted} thead th:nth-child(1) .sorter`);
seen.rising = await table(tab);
await tab.focus(`${sorted} thead th:nth-child(1) .sorter`);
await tab.keyboard.press("Enter");
seen.falling = await table(tab);
await tab.selectOption("#filter-depot", depot);
await tab.selectOption("#filter-status", status);
seen.filtered = await filtered(tab);
seen.address = tab.url();
const again = await opened(seen.address);
seen.again = { ...(await filtered(again)), ...(await table(again)) };
await again.click("#filter-clear");
seen.cleared = await filtered(again);
seen.clearedAddress = again.url();

const narrow = await opened(page, { viewport: { width: 360, height: 740 } });
seen.narrow = await narrow.evaluate((which) => ({
  choice: !document.querySelector(`.sort-by:has(+ ${which})`)?.hidden,
  reachable: document.querySelector(`${which} .sorter`).tabIndex,
}), sorted);
if (seen.narrow.choice) await narrow.selectOption(`.sort-by:has(+ ${sorted}) select`, "0.d");
seen.narrowSorted = await table(narrow);

const plain = await opened(page, { javaScriptEnabled: false });
seen.plain = {
  box: await plain.isVisible("#filter"),
  rows: await plain.locator(".filtered tbody tr").count(),
  buttons: await plain.locator("button:visible").count(),
};

// On paper nothing may reach over the edge: A4 and Letter, less the page's own margins.
seen.paper = {};
for (const [format, width] of [["A4", 210], ["Letter", 216]]) {
  const paper = await opened(page);
  await paper.emulateMedia({ media: "print" });
  await paper.setViewportSize({ width: Math.floor(((width - 24) / 25.4) * 96), height: 1000 });
  seen.paper[format] = await paper.evaluate(() => [...document.querySelectorAll("table, svg, p, h2")]
    .filter((part) => part.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
    .map((part) => `${part.tagName} ${part.getAttribute("class")}`));
  if (folder) await paper.pdf({ path: `${folder}/${format}.pdf`, format });
}
await browser.close();
console.log(JSON.stringify({ ...seen, said }));
