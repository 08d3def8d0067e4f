// Opens every page of a build in headless Chromium from file:// and holds it against WCAG 2.2 AA, its own promise to ask
// for nothing from outside, reflow at 320 px and the size of its touch targets. Prints "N passed, M failed".
//
// Use: node pages.mjs FOLDER   (with axe-core and playwright-core in NODE_MODULES, Chromium in CHROMIUM)
import { createRequire } from "node:module";
import { readFileSync, readdirSync, statSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const require = createRequire(join(process.env.NODE_MODULES, "x.js"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

function pagesBelow(folder) {
  return readdirSync(folder).sort().flatMap((name) => {
    const path = join(folder, name);
    if (statSync(path).isDirectory()) return pagesBelow(path);
    return path.endsWith(".html") ? [path] : [];
  });
}

const root = resolve(process.argv[2]);
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM,
  args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"],
});
let passed = 0;
let failed = 0;
function expect(condition, what) {
  if (condition) { passed += 1; } else { failed += 1; console.log(`FAILED ${what}`); }
}

for (const path of pagesBelow(root)) {
  const name = path.slice(root.length + 1);
  // The page's own policy forbids foreign script; the checker is let in past it, the page's requests are still watched.
  const context = await browser.newContext({ viewport: { width: 1024, height: 768 }, bypassCSP: true });
  const page = await context.newPage();
  const asked = [];
  const errors = [];
  page.on("request", (request) => asked.push(request.url()));
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => { if (message.type() === "error") errors.push(message.text()); });
  await page.goto(pathToFileURL(path).href);
  const outside = asked.filter((url) => url !== pathToFileURL(path).href && !url.startsWith("data:"));
  expect(outside.length === 0, `${name}: asks for ${outside.slice(0, 3)}`);
  await page.evaluate(axe);
  const result = await page.evaluate(() =>
    window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] }));
  expect(result.passes.length > 5, `${name}: the checker ran`);
  for (const violation of result.violations) console.log(`${name}: ${violation.id}: ${violation.nodes[0].html.slice(0, 120)}`);
  expect(result.violations.length === 0, `${name}: ${result.violations.length} accessibility violations`);
  const small = await page.evaluate(() =>
    [...document.querySelectorAll("label.tap")].filter((target) => target.getBoundingClientRect().height < 96).length);
  expect(small === 0, `${name}: ${small} step rows lower than 96 px`);
  if (name.startsWith("packets")) {
    const rows = await page.evaluate(() => document.querySelectorAll("label.tap").length);
    expect(rows > 10, `${name}: has step rows to touch (${rows})`);
  }
  await page.setViewportSize({ width: 320, height: 640 });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  expect(wide <= 320, `${name}: is ${wide} px wide on a screen of 320`);
  await context.close();
  // Once more with its policy in force: its own style and script must still work.
  const strict = await browser.newContext({ viewport: { width: 768, height: 1024 } });
  const again = await strict.newPage();
  again.on("pageerror", (error) => errors.push(String(error)));
  again.on("console", (message) => { if (message.type() === "error") errors.push(message.text()); });
  await again.goto(pathToFileURL(path).href);
  expect(errors.length === 0, `${name}: ${errors[0]}`);
  await strict.close();
}
await browser.close();
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 && passed > 0 ? 0 : 1);
