// Reads every .ics below a folder with an independent parser, ical.js, and
// checks what RFC 5545 and our own promises ask of a published calendar.
//
//   npm install --prefix TOOLS ical.js@2.2.1
//   NODE_PATH=TOOLS/node_modules node .ci/calendars.mjs FOLDER
//
// Exit status: 0 all well, 1 a file is wrong (each with its reason), 2 the
// check could not be made.
import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';

const giveUp = (message) => { console.error(message); process.exit(2); };

const folder = process.argv[2];
if (!folder || process.argv.length > 3) giveUp('usage: node .ci/calendars.mjs FOLDER');

let ICAL;
try {
  // require, unlike import, looks in NODE_PATH.
  const loaded = createRequire(import.meta.url)('ical.js');
  ICAL = loaded.default ?? loaded;
} catch (e) {
  giveUp(`${e.message.split('\n')[0]}: install ical.js in a folder TOOLS and set NODE_PATH=TOOLS/node_modules`);
}

// The octets of the file, before any parser touches them.
function* wrongBytes(bytes) {
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    yield 'is not valid UTF-8';
  }
  if (bytes.length < 2 || bytes.at(-2) !== 13 || bytes.at(-1) !== 10) yield 'does not end with CRLF';
  let start = 0;
  let number = 1;
  for (let i = 0; i < bytes.length; i++) {
    const cr = bytes[i] === 13;
    if (bytes[i] === 10 || (cr && bytes[i + 1] !== 10)) yield `line ${number} ends without CRLF`;
    if (!cr && bytes[i] !== 10) continue;
    if (i - start > 75) yield `line ${number} has ${i - start} octets, more than 75`;
    if (cr && bytes[i + 1] === 10) i++;
    start = i + 1;
    number++;
  }
}

const once = (component, names) =>
  names.filter((n) => component.getAllProperties(n).length !== 1).map((n) => `${n.toUpperCase()} does not stand once`);

function* wrongEvent(event) {
  yield* once(event, ['uid', 'dtstamp', 'dtstart', 'dtend', 'summary', 'sequence']);
  for (const name of ['dtstart', 'dtend']) {
    const property = event.getFirstProperty(name);
    if (property && property.type !== 'date') yield `${name.toUpperCase()} is a ${property.type}, not a DATE`;
  }
  const [start, end, stamp] = ['dtstart', 'dtend', 'dtstamp'].map((n) => event.getFirstPropertyValue(n));
  if (start && end && end.compare(start) <= 0) yield `DTEND ${end} is not after DTSTART ${start}`;
  if (stamp && stamp.zone !== ICAL.Timezone.utcTimezone) yield `DTSTAMP ${stamp} is not in UTC`;
  if (event.getAllSubcomponents('valarm').length > 0) yield 'there is an alarm';
}

function* wrongCalendar(text) {
  let parsed;
  try {
    parsed = ICAL.parse(text);
  } catch (e) {
    yield `ical.js cannot parse it: ${e.message}`;
    return;
  }
  // Several objects in a row come back as an array of arrays.
  if (parsed[0] !== 'vcalendar') {
    yield 'does not hold exactly one VCALENDAR';
    return;
  }
  const calendar = new ICAL.Component(parsed);
  yield* once(calendar, ['version', 'prodid']);
  if (calendar.getFirstPropertyValue('version') !== '2.0') yield 'VERSION is not 2.0';
  const events = calendar.getAllSubcomponents('vevent');
  if (events.length === 0) yield 'has no VEVENT';
  const seen = new Set();
  for (const event of events) {
    const uid = event.getFirstPropertyValue('uid');
    if (seen.has(uid)) yield `UID ${uid} stands twice`;
    seen.add(uid);
    for (const reason of wrongEvent(event)) yield `event ${uid}: ${reason}`;
  }
  count.events += events.length;
}

const count = { files: 0, events: 0, wrong: 0 };
let names;
try {
  names = readdirSync(folder, { recursive: true }).filter((n) => n.endsWith('.ics')).sort();
} catch (e) {
  giveUp(e.message);
}
for (const name of names) {
  const bytes = readFileSync(join(folder, name));
  count.files++;
  for (const reason of [...wrongBytes(bytes), ...wrongCalendar(bytes.toString('utf8'))]) {
    console.error(`${join(folder, name)}: ${reason}`);
    count.wrong++;
  }
}
if (count.files === 0) {
  console.error(`${folder}: no .ics file below it`);
  count.wrong++;
}
console.log(`${count.files} calendars, ${count.events} events, ${count.wrong} wrong`);
process.exit(count.wrong > 0 ? 1 : 0);
