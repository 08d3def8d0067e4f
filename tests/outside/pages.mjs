// Opens every page of a build in headless Chromium from file:// and holds it against WCAG 2.2 AA, its own promise to ask
// for nothing from outside, reflow at 320 px and the size of its touch targets. Packets are used as a fitter would: readings
// around every limit, steps, hold points, a reload. Prints "N passed, M failed".
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

// The ends of a limit, read from its printed words as a person reads them, not from what the script is given.
function ends(words) {
  const text = words.replaceAll("\u00a0", " ");
  const range = /^(-?[\d.]+) to (-?[\d.]+)/.exec(text);
  if (range) return [Number(range[1]), Number(range[2])];
  const exact = /^exactly (-?[\d.]+)/.exec(text);
  if (exact) return [Number(exact[1]), Number(exact[1])];
  const bound = /^(-?[\d.]+).* or (less|more)$/.exec(text);
  if (bound) return bound[2] === "more" ? [Number(bound[1]), Infinity] : [-Infinity, Number(bound[1])];
  throw new Error(`no limit: ${words}`);
}

async function readings(page, name) {
  const limited = await page.locator("[data-limit], [data-low], [data-high]").all();
  expect(limited.length > 0, `${name}: has readings with limits`);
  for (const field of limited) {
    const words = await field.getAttribute("data-limit");
    const [low, high] = ends(words);
    const typed = [["x", false], ["", false]];
    if (low > -Infinity) typed.push([(low - 0.01).toFixed(3), true], [String(low), false], [(low - 0.1).toFixed(1).replace(".", ","), true]);
    if (high < Infinity) typed.push([(high + 0.01).toFixed(3), true], [String(high), false], [(high + 0.1).toFixed(1).replace(".", ","), true]);
    if (low > -Infinity && high < Infinity) typed.push([((low + high) / 2).toFixed(3), false]);
    for (const [text, alarm] of typed) {
      await field.fill(text);
      await field.blur();
      expect((await field.getAttribute("aria-invalid") === "true") === alarm, `${name}: ${text} against ${words} ${alarm ? "is flagged" : "is not flagged"}`);
    }
    const line = field.locator("xpath=ancestor::fieldset").locator(".outside");
    if (await line.count() > 0) {
      const shown = () => line.evaluate((element) => element.classList.contains("alarm"));
      await field.fill(low > -Infinity ? String(low - 1) : String(high + 1));
      await field.blur();
      expect(await shown(), `${name}: what to do outside ${words} is shown`);
      await field.fill(low > -Infinity ? String(low) : String(high));
      await field.blur();
      expect(!(await shown()), `${name}: what to do outside ${words} is quiet again`);
    }
  }
}

async function stepsAndHolds(page, name) {
  const tick = (number) => page.locator(`#t${number}`);
  const ticked = (number) => tick(number).isChecked();
  // A glove that bounces does not count: the page waits between two touches, and so do we.
  const touch = async (number) => { await page.waitForTimeout(350); await page.locator(`label.tap:has(#t${number})`).click(); };
  await touch(1);
  await page.locator("label.tap:has(#t1)").click();
  expect(await ticked(1), `${name}: a second touch at once does not take the tick back`);
  const steps = Number(await page.locator("body").getAttribute("data-steps"));
  const hold = page.locator("[data-hold]").first();
  if (await hold.count() === 0) return;
  const next = Number(await hold.getAttribute("data-after")) + 1;
  if (next > steps) return;
  await touch(next - 1);
  expect(await ticked(next - 1), `${name}: the step of the hold point is ticked`);
  const blanks = await hold.locator("input").all();
  expect(blanks.length === 4, `${name}: a hold point has two people's marks`);
  for (const names of [["", ""], ["A. Fitter", ""], ["A. Fitter", "a. fitter "]]) {
    await blanks[0].fill(names[0]);
    await blanks[1].fill("03:10");
    await blanks[2].fill(names[1]);
    await blanks[3].fill("03:12");
    await touch(next);
    expect(!(await ticked(next)), `${name}: nobody passes the hold point with ${JSON.stringify(names)}`);
  }
  await blanks[2].fill("B. Checker");
  await touch(next);
  expect(await ticked(next), `${name}: two people pass the hold point`);
  // The browser takes what a page stores to its own store a moment later; on a busy machine a reload can be faster.
  await page.waitForTimeout(1000);
  await page.reload();
  expect(await page.locator("#resume").isVisible(), `${name}: resuming is offered after a reload`);
  await page.locator("#resume-go").click();
  expect(await ticked(next) && await page.locator("[data-hold] input").first().inputValue() === "A. Fitter", `${name}: what was entered is back`);
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
    [...document.querySelectorAll("label.tap, label.pre")].filter((target) => target.getBoundingClientRect().height < 96).length);
  expect(small === 0, `${name}: ${small} rows to tick lower than 96 px`);
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
  if (name.startsWith("packets")) {
    await readings(again, name);
    await stepsAndHolds(again, name);
  }
  expect(errors.length === 0, `${name}: ${errors[0]}`);
  await strict.close();
}
await browser.close();
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 && passed > 0 ? 0 : 1);
