// Writes fsrs.tsv: 3,000 review histories drawn at random, and what ts-fsrs makes of each
// review. In web, after npm install:
//
//   npm run fsrs > ../forecast/practice/testdata/fsrs.tsv
//
// The draw has a seed of its own, so that the file is always the same.

import { createEmptyCard, fsrs, FSRSVersion, generatorParameters } from "../../../web/node_modules/ts-fsrs/dist/index.mjs";

// A generator by G. Marsaglia, “Xorshift RNGs”, 2003.
let state = 20261127;
function below(n) {
  state ^= state << 13;
  state ^= state >>> 17;
  state ^= state << 5;
  return (state >>> 0) % n;
}

const scheduler = fsrs(generatorParameters({ enable_fuzz: false, enable_short_term: false }));
const day = 24 * 60 * 60 * 1000;
const lines = [
  `# ts-fsrs ${FSRSVersion}, default parameters, request_retention 0.9, enable_short_term off, enable_fuzz off; by fsrs.mjs.`,
  "# Each line is a history, each review in it: grade (1 to 4), days since the one before, then stability, difficulty and interval in days.",
];
for (let history = 0; history < 3000; history++) {
  let card = createEmptyCard(new Date(0));
  // At some time of the day, the next maybe earlier: whole days in UTC count.
  let today = 0;
  const reviews = [];
  const wrong = below(40);
  for (let n = 1 + below(12); n > 0; n--) {
    const grade = below(100) < wrong ? 1 : 2 + below(3);
    // As due, on the same day, soon, or long after.
    const waits = [card.scheduled_days, 0, below(5), below(60), card.scheduled_days + below(400)];
    const since = reviews.length ? waits[below(waits.length)] : 0;
    today += since;
    const { card: next } = scheduler.next(card, new Date(today * day + below(day)), grade);
    card = next;
    reviews.push([grade, since, card.stability, card.difficulty, card.scheduled_days].join(" "));
  }
  lines.push(reviews.join("\t"));
}
process.stdout.write(lines.join("\n") + "\n");
