// Open pages in Chromium as a reader would, at desktop width in light and at phone width in dark colours, every list unfolded,
// and print what is wrong with each as JSON: {page, width, scheme, findings: [text]}. Usage: node look_at.mjs CHROMIUM PAGE.html …
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const VIEWS = [[[1280, 800], "light"], [[360, 740], "dark"]];
// WCAG 2.2 A and AA and what the checker holds to be good practice; a finding of any impact counts.
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
const QUIET = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync"];
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const [executablePath, ...pages] = process.argv.slice(2);

async function lookAt(browser, page, [width, height], colorScheme) {
  const context = await browser.newContext({ viewport: { width, height }, colorScheme });
  const tab = await context.newPage();
  const findings = [];
  tab.on("console", (message) => findings.push(`console: ${message.text()}`));
  tab.on("pageerror", (error) => findings.push(`error: ${error}`));
  tab.on("request", (request) => request.url().startsWith("file:") || findings.push(`request: ${request.url()}`));
  await tab.goto(pathToFileURL(page).href);
  const tooWide = () => tab.evaluate(() =>
    document.documentElement.scrollWidth - document.documentElement.clientWidth);
  for (const state of ["folded", "unfolded"]) {
    if (state === "unfolded") {
      await tab.evaluate(() => document.querySelectorAll("details").forEach((list) => { list.open = true; }));
    }
    const over = await tooWide();
    if (over > 0) findings.push(`${state}: ${over} px wider than the window`);
  }
  // A driver's script is not the page's: it runs in spite of the page's policy. What is laid out only when it comes into
  // view has a guessed place until then, where the checker would see one thing upon another.
  await tab.evaluate(() => {
    const all = new CSSStyleSheet();
    all.replaceSync("* { content-visibility: visible !important; }");
    document.adoptedStyleSheets = [all];
  });
  // Of what passes one node a rule is enough to know that it ran; listing all takes a third of the time on long pages.
  await tab.evaluate(axe);
  const result = await tab.evaluate((runOnly) => axe.run(document, { runOnly, resultTypes: ["violations"] }), RULES);
  for (const { id, help, nodes } of result.violations) {
    findings.push(`${id}: ${help}: ${nodes.length} times, first ${nodes[0].html.slice(0, 200)}`);
  }
  if (result.passes.length === 0) findings.push("the accessibility checker passed no rule: did it run?");
  await context.close();
  return { page, width, scheme: colorScheme, findings };
}

const browser = await chromium.launch({ executablePath, headless: true, args: QUIET });
const seen = [];
for (const page of pages) {
  for (const [size, scheme] of VIEWS) seen.push(await lookAt(browser, page, size, scheme));
}
await browser.close();
console.log(JSON.stringify(seen));
