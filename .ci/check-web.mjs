// Drives the page in a real browser: node check-web.mjs ADDRESS FOLDER
//
// Looked at from outside: accessibility by axe-core (WCAG 2.0 to 2.2, A and
// AA), requests, console, weight and first paint by the browser's own protocol
// and trace. Pictures, PDFs and the trace stay in FOLDER, with what was
// measured in web.json.
import { createRequire } from "node:module";
import { readFileSync, writeFileSync } from "node:fs";
import assert from "node:assert/strict";

const require = createRequire(process.env.MODULES);
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const [address, folder] = process.argv.slice(2);
const host = new URL(address).host;

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM,
  args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
const phone = { width: 360, height: 640 };
const desk = { width: 1440, height: 900 };
const faults = [];
let heaviest = { octets: 0 };

// A page whose console, requests and weight are watched.
const open = async (options) => {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  page.on("console", (m) => { if (m.type() === "error" || m.type() === "warning") faults.push(`${page.url()}: ${m.text()}`); });
  page.on("pageerror", (e) => faults.push(`${page.url()}: ${e}`));
  page.on("request", (r) => { if (new URL(r.url()).host !== host) faults.push(`${page.url()} asks ${r.url()}`); });
  const protocol = await context.newCDPSession(page);
  await protocol.send("Network.enable");
  await protocol.send("Network.setCacheDisabled", { cacheDisabled: true });
  protocol.on("Network.loadingFinished", (e) => { page.octets = (page.octets ?? 0) + e.encodedDataLength; });
  return page;
};
const go = async (page, path) => {
  page.octets = 0;
  const answer = await page.goto(address + path, { waitUntil: "load" });
  if (page.octets > heaviest.octets) heaviest = { octets: page.octets, path };
  return answer;
};
const accessible = async (page, what) => {
  await page.evaluate(axe);
  const found = await page.evaluate(() => axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  for (const v of found.violations) faults.push(`axe: ${what}: ${v.id}: ${v.nodes.slice(0, 3).map((n) => n.html).join(" | ")}`);
  assert.ok(found.passes.length > 10, "axe looked at the page");
};
const wide = (page) => page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
const events = (text) => {
  const out = {};
  for (const e of text.replaceAll("\r\n ", "").split("BEGIN:VEVENT").slice(1)) {
    const of = (name) => (e.match(new RegExp(`^${name}[^:\r\n]*:(.*)\r$`, "m")) ?? [])[1];
    out[of("UID")] = { sequence: Number(of("SEQUENCE")), summary: of("SUMMARY") };
  }
  return out;
};

const pages = { plan: "?place=sarnholt-county", places: "places", state: "places?in=IA", compare: "compare", report: "report?place=sarnholt-county", problem: "?issue=tomorrow" };

// Each page at both widths, light and dark. axe-core takes most of the time:
// it looks at each width once and at each scheme once.
let looked = 0;
for (const [size, viewport] of Object.entries({ 360: phone, 1440: desk })) {
  for (const colorScheme of ["light", "dark"]) {
    const page = await open({ viewport, colorScheme });
    for (const [name, path] of Object.entries(pages)) {
      if (name === "problem") continue; // its 400 is an error of the console by itself
      await go(page, path);
      if ((size === "360") === (colorScheme === "light")) {
        await accessible(page, `${name} ${size} ${colorScheme}`);
        looked++;
      }
      assert.ok(await wide(page) <= 0, `${name} scrolls sideways at ${size}`);
      if (colorScheme === "light" || name === "plan") {
        await page.screenshot({ path: `${folder}/web-${name}-${size}-${colorScheme}.png` });
      }
    }
    await page.context().close();
  }
}

// What went wrong is told as accessibly, with the way on.
const lost = await browser.newPage({ viewport: phone });
for (const path of [pages.problem, "?place=19113"]) {
  await lost.goto(address + path);
  await accessible(lost, path);
}
assert.match(await lost.locator(".wrong").innerText(), /Linn, Iowa/);
assert.match(await lost.locator("a.act").getAttribute("href"), /places#file-h$/);
await lost.screenshot({ path: `${folder}/web-problem-360.png` });

// The answer stands above the fold of a phone, with its date: what to do next,
// and by when. The browser's trace tells when the first of it was painted.
const page = await open({ viewport: phone });
await browser.startTracing(page, { path: `${folder}/web-trace.json` });
await go(page, "?place=sarnholt-county");
await page.waitForFunction(() => performance.getEntriesByName("first-contentful-paint").length > 0);
const trace = JSON.parse((await browser.stopTracing()).toString()).traceEvents;
const paints = trace.filter((e) => e.name === "firstContentfulPaint");
assert.ok(paints.length > 0, "the trace holds the first paint");
const started = trace.filter((e) => e.name === "navigationStart" && e.pid === paints[0].pid && e.ts < paints[0].ts && e.args.data?.documentLoaderURL !== "");
const paint = (paints[0].ts - Math.max(...started.map((e) => e.ts))) / 1000;
assert.match(await page.locator(".asof").innerText(), /What to do next, and by when/);
assert.match(await page.locator(".next .first .when").innerText(), /^by \w{3} \d{1,2} \w{3}/);
for (const part of [".what", ".when", "button"]) {
  const box = await page.locator(`.next .first ${part}`).first().boundingBox();
  assert.ok(box.y > 0 && box.y + box.height <= phone.height, `${part} is above the fold`);
}
await page.screenshot({ path: `${folder}/web-answer-360.png` });

// A county by keyboard alone.
await go(page, "places");
await page.locator("body").press("Tab");
for (let i = 0; i < 40 && await page.evaluate(() => document.activeElement.id) !== "p-search"; i++) await page.keyboard.press("Tab");
await page.keyboard.type("sarn");
await page.waitForSelector("#found a");
for (let i = 0; i < 5 && await page.evaluate(() => document.activeElement.closest("#found") === null); i++) await page.keyboard.press("Tab");
await page.keyboard.press("Enter");
await page.waitForURL(/place=sarnholt-county/);
assert.match(await page.locator("h1").innerText(), /Sarnholt/);

// Another by mouse, on the map; and one of the real ones, of which it says what
// is missing.
const table = await open({ viewport: desk });
await go(table, "places");
await table.locator(".map.small path").first().click({ position: { x: 60, y: 120 } });
await table.waitForURL(/place=quillmarsh-county/);
assert.match(await table.locator("h1").innerText(), /Quillmarsh/);
await go(table, "places");
await table.locator(".map.whole").click({ position: { x: 380, y: 190 } });
await table.waitForURL(/places\?in=[A-Z]{2}/);

// Another set-up: plan and address follow without a new page.
await go(table, "?place=sarnholt-county");
const supers = () => table.locator("#plan b", { hasText: /^Add super/ }).count();
const many = await supers();
const grown = await table.locator('select[name="plant"]').evaluateAll((all) => all.map((s) => s.value));
assert.ok(grown.includes("basswood"), "basswood stands in the form");
const took = [];
for (const hectares of ["3", "30", "4"]) {
  const field = table.locator('input[name="ha"]').nth(grown.indexOf("basswood"));
  await table.evaluate(() => { delete document.documentElement.dataset.took; });
  await field.fill(hectares);
  await field.press("Tab");
  await table.waitForFunction(() => document.documentElement.dataset.took !== undefined);
  took.push(Number(await table.evaluate(() => document.documentElement.dataset.took)));
}
assert.ok(await supers() < many, "less forage wants fewer supers");
assert.match(table.url(), /ha=4(&|$)/);
const shared = table.url();
await table.goto(shared);
assert.ok(await supers() < many, "the address holds the choice");

// Work that is done is marked in page and calendar; undoing brings it back.
await go(page, "?place=sarnholt-county");
const feed = async () => events(await (await page.request.get(address + "feed/sarnholt-county/calendar.ics")).text());
const before = await feed();
await page.locator(".next .first button").click();
await page.waitForURL(/#record$/);
assert.equal(await page.locator(".work .done").count(), 1);
const after = await feed();
assert.deepEqual(Object.keys(after).sort(), Object.keys(before).sort(), "same UIDs");
const changed = Object.keys(after).filter((uid) => after[uid].sequence > before[uid].sequence);
assert.equal(changed.length, 1);
assert.match(after[changed[0]].summary, /^Done: /);
await page.screenshot({ path: `${folder}/web-record-360.png` });
const undo = await page.locator(".notes button").first().boundingBox();
assert.ok(undo.y > 0 && undo.y + undo.height <= phone.height, "what was recorded is seen at once, and can be undone");
await page.locator(".notes button").first().click();
await page.waitForFunction(() => document.querySelectorAll(".work .done").length === 0);
assert.ok((await feed())[changed[0]].sequence > after[changed[0]].sequence);
assert.doesNotMatch((await feed())[changed[0]].summary, /^Done/);

// A weather file dropped on the page: a wrong one is refused, a right one is a
// place.
const drop = async (name, text) => {
  await go(table, "places");
  const data = await table.evaluateHandle(([n, t]) => {
    const d = new DataTransfer();
    d.items.add(new File([t], n));
    return d;
  }, [name, text]);
  await table.dispatchEvent("#weather", "dragover", { dataTransfer: data });
  await table.dispatchEvent("#weather", "drop", { dataTransfer: data });
  await table.fill("#u-name", "Harbour roof");
  await table.fill("#u-lat", "47.6");
  await table.fill("#u-lon", "-122.3");
  const quiet = faults.length;
  await table.locator("#weather button").click();
  await table.waitForLoadState("networkidle");
  if (faults.length > quiet && /status of 422/.test(faults.at(-1))) faults.pop(); // the refusal itself
};
await drop("diary.txt", "dear diary\n");
assert.match(await table.locator(".wrong").innerText(), /diary\.txt/);
await drop("seattle-weather.csv", readFileSync("testdata/seattle-weather.csv", "utf8"));
if (await table.locator("a.act").count() > 0 && !/place=/.test(table.url())) await table.locator("a.act").first().click();
await table.waitForURL(/place=harbour-roof/);
assert.match(await table.locator("h1").innerText(), /Harbour roof/);

// Everything can be read, and the plan changed, without a script.
const plain = await open({ viewport: phone, javaScriptEnabled: false });
await go(plain, "?place=sarnholt-county");
await plain.fill("#f-boxes", "1");
await plain.locator("#ask button").click();
await plain.waitForURL(/boxes=1/);
assert.ok(await plain.locator(".next .first .when").isVisible());

// On paper.
for (const name of ["plan", "report"]) {
  await go(page, pages[name]);
  const pdf = await page.pdf({ format: "A4", printBackground: true, path: `${folder}/web-${name}.pdf` });
  assert.equal(pdf.subarray(0, 5).toString(), "%PDF-");
}

await browser.close();
const result = { heaviest_kb: Math.round(heaviest.octets / 1000), heaviest_page: heaviest.path, first_paint_ms: Math.round(paint), change_ms: took, pages_axe_looked_at: looked };
console.log(JSON.stringify(result));
writeFileSync(`${folder}/web.json`, JSON.stringify(result) + "\n");
assert.ok(heaviest.octets < 400_000, "no page is heavier than 400 kB");
assert.deepEqual(faults, []);
