// Takes the README's pictures: node pictures.mjs ADDRESS REPORT.html FOLDER
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const { chromium } = createRequire(process.env.MODULES)("playwright-core");
const [address, report, folder] = process.argv.slice(2);
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM, args: ["--no-sandbox", "--disable-gpu"] });

const shoot = async (name, url, { viewport, part, print, scale = 1 }) => {
  const page = await browser.newPage({ viewport, colorScheme: "light", deviceScaleFactor: scale });
  if (print) await page.emulateMedia({ media: "print" });
  await page.goto(url);
  // The address of a test run is not the reader's.
  await page.evaluate((part) => {
    for (const c of document.querySelectorAll("#calendar code")) c.textContent = "http://192.168.1.20:8747/wq4…7ka/feed/sarnholt-county/calendar.ics";
    if (part) document.querySelector(part).scrollIntoView();
  }, part);
  await (part ? page.locator(part) : page).screenshot({ path: `${folder}/${name}.png` });
  await page.close();
};

const phone = { width: 360, height: 640 };
await shoot("answer", address + "?place=sarnholt-county", { viewport: phone });
await shoot("county", address + "places?in=IA", { viewport: { width: 720, height: 480 } });
await shoot("desk", address + "?place=sarnholt-county", { viewport: { width: 1080, height: 620 } });
await shoot("calendar", address + "?place=sarnholt-county", { viewport: phone, part: "#calendar" });
const a4 = { width: 794, height: 1123 }; // 210 × 297 mm at 96 to the inch
await shoot("wall", pathToFileURL(report).href, { viewport: a4, print: true, scale: 0.75 });
await browser.close();
