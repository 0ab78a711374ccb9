// Check that a calendar follows an earlier one, with a parser that was not
// written here: npm's ical.js.
//
//     ICAL_JS=DIR/node_modules/ical.js/dist/ical.js node check-calendar-update.mjs BEFORE.ics AFTER.ics ISSUE DONE
//
// Held as in check-calendar-update.py.

import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [before, after, issue, done] = process.argv.slice(2);
const fail = (text) => { console.error(`${after}: ical.js: ${text}`); process.exit(1); };
if (!done || !process.env.ICAL_JS) fail("usage: ICAL_JS=PATH node check-calendar-update.mjs BEFORE.ics AFTER.ics ISSUE DONE");
const ICAL = (await import(pathToFileURL(process.env.ICAL_JS).href)).default;

function read(path) {
  const calendar = new ICAL.Component(ICAL.parse(readFileSync(path, "utf8")));
  const out = new Map();
  for (const c of [...calendar.getAllSubcomponents("vevent"), ...calendar.getAllSubcomponents("vtodo")]) {
    const of = (name) => c.getFirstPropertyValue(name);
    const last = of(c.name === "vtodo" ? "due" : "dtend").clone();
    if (c.name === "vevent") last.adjust(-1, 0, 0, 0);
    const summary = of("summary"), status = of("status");
    out.set(of("uid"), {
      sequence: of("sequence"), modified: of("last-modified").toUnixTime(), last: last.toString(),
      said: JSON.stringify([last.toString(), summary, status]), cancelled: status === "CANCELLED",
      done: summary.includes("Done: ") && (c.name === "vevent" || status === "COMPLETED"),
    });
  }
  return out;
}

const old = read(before), now = read(after);
let moved = 0, cancelled = 0;
for (const [uid, was] of old) {
  if (was.last < issue) continue;
  const is = now.get(uid);
  if (!is) fail(`${uid} is lost`);
  const rose = is.sequence > was.sequence && is.modified > was.modified;
  if (is.sequence < was.sequence || (is.said !== was.said && !rose)) fail(`${uid} changed from ${was.said} to ${is.said} without a higher number`);
  if (is.cancelled) cancelled++;
  else if (is.last !== was.last) moved++;
}
if (moved === 0 || cancelled === 0 || !now.get(done)?.done) fail(`${moved} moved, ${cancelled} cancelled, done: ${now.get(done)?.said}`);
console.log(`ical.js: ${old.size} before, ${now.size} after: ${moved} moved, ${cancelled} cancelled, one done`);
