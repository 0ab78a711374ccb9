// Check a calendar against a table of what it should hold, with a parser that
// was not written here: npm's ical.js.
//
//     ICAL_JS=DIR/node_modules/ical.js/dist/ical.js node check-calendar.mjs FILE.ics EXPECTED.csv
//
// The table has one row an event or task item; date columns are YYYY-MM-DD and
// the end is the day after the last one, which a task item calls DUE. Other columns are ignored. Cancelled events of
// the calendar are not expected in the table. Every difference is an error.

import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

// Column names of the expected table.
const UID = "uid", START = "start", END = "end", SUMMARY = "summary";

const fail = (text) => { console.error(text); process.exit(1); };

// rows reads RFC 4180 text: quoted fields may hold commas, doubled quotes and
// line breaks.
function rows(text) {
  const out = [];
  let row = [], field = "", quoted = false;
  const endRow = () => { row.push(field); out.push(row); row = []; field = ""; };
  for (let i = 0; i < text.length; i++) {
    const c = text[i];
    if (quoted) {
      if (c !== '"') field += c;
      else if (text[i + 1] === '"') { field += c; i++; }
      else quoted = false;
    } else if (c === '"') quoted = true;
    else if (c === ",") { row.push(field); field = ""; }
    else if (c === "\n") endRow();
    else if (c !== "\r") field += c;
  }
  if (field !== "" || row.length > 0) endRow();
  return out;
}

function expected(path) {
  const [head, ...body] = rows(readFileSync(path, "utf8").replace(/^\uFEFF/, ""));
  return body.map((r) => JSON.stringify([UID, START, END, SUMMARY].map((name) => {
    const i = (head ?? []).indexOf(name);
    if (i < 0) fail(`${path}: no column ${name}`);
    return r[i];
  })));
}

function found(ICAL, path) {
  // A byte that is not UTF-8 must not pass as U+FFFD.
  const text = new TextDecoder("utf-8", { fatal: true }).decode(readFileSync(path));
  const calendar = new ICAL.Component(ICAL.parse(text));
  if (calendar.name !== "vcalendar") throw new Error(`not one calendar but ${calendar.name}`);
  const out = [];
  for (const c of [...calendar.getAllSubcomponents("vevent"), ...calendar.getAllSubcomponents("vtodo")]) {
    const of = (name) => c.getFirstPropertyValue(name);
    for (const name of ["uid", "dtstamp", "sequence", "last-modified"]) {
      if (!c.hasProperty(name)) throw new Error(`${of("uid")}: no ${name}`);
    }
    const last = c.name === "vtodo" ? "due" : "dtend";
    for (const name of c.hasProperty("dtstart") || c.name === "vevent" ? ["dtstart", last] : [last]) {
      if (!of(name)?.isDate) throw new Error(`${of("uid")}: ${name} is no all-day date`);
    }
    if (of("status") === "CANCELLED") continue;
    const end = of(last).clone();
    if (c.name === "vtodo") end.adjust(1, 0, 0, 0);
    out.push(JSON.stringify([of("uid"), (of("dtstart") ?? of(last)).toString(), end.toString(), of("summary")]));
  }
  return out;
}

// without returns what is in a more often than in b.
function without(a, b) {
  const left = [...b];
  return a.filter((x) => {
    const i = left.indexOf(x);
    if (i >= 0) left.splice(i, 1);
    return i < 0;
  });
}

const [ics, table] = process.argv.slice(2);
if (!table || !process.env.ICAL_JS) fail("usage: ICAL_JS=PATH node check-calendar.mjs FILE.ics EXPECTED.csv");
const ICAL = (await import(pathToFileURL(process.env.ICAL_JS).href)).default;
const want = expected(table);
let got;
try {
  got = found(ICAL, ics);
} catch (e) {
  fail(`${ics}: ical.js: ${e}`);
}
const missing = without(want, got), extra = without(got, want);
for (const e of missing) console.error(`${ics}: ical.js: missing ${e}`);
for (const e of extra) console.error(`${ics}: ical.js: not expected ${e}`);
if (missing.length || extra.length) process.exit(1);
console.log(`ical.js: ${got.length} events or tasks as expected`);
