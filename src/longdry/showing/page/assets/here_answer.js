// Looks up what was worked out for a place and an hour, and takes the worse neighbour.
// Nothing is reckoned but hours late, litres over a day's litres, and roundings that are never kind.
"use strict";

const SAME_KM = 0.05, HAIR = 1e-6, NEXT = 4, BEHIND = 5, SURE = 6, CELLS = 7;
const FIGURES = ["full", "lean", "bare", "whole", "saving", "back", "past", "out"];

// The rows that hold a place. Who stands at water asks about the way on from there.
function rowsAt(data, km) {
  const near = data.rows.filter((row) => row[0] - SAME_KM <= km && km <= row[1] + SAME_KM);
  const onward = near.filter((row) => data.waters[row[NEXT]][1] > km + SAME_KM);
  return onward.length ? onward : near;
}

// Each cell holds for all who are in it: of those at one place the ones that are least late count,
// and of these the worst.
function cellsAt(data, km, hour) {
  const cells = [];
  for (const row of rowsAt(data, km)) {
    const late = hour - row[2];
    for (let column = 0; column + 1 < data.late_h.length; column += 1) {
      if (data.late_h[column] - HAIR <= late && late <= data.late_h[column + 1] + HAIR) {
        cells.push({ row: row, late: Math.abs(late), litres: row[CELLS][column] });
      }
    }
  }
  const least = Math.min(...cells.map((cell) => cell.late));
  return cells.filter((cell) => cell.late <= least + 1);
}

function longdryAnswer(data, km, hour, litres) {
  const stay = waitingAt(data, hour, litres);
  const cells = cellsAt(data, km, hour);
  if (!cells.length) return { says: "unknown", stay: stay, plan: rowsAt(data, km).map((row) => row[2]) };
  const least = {};
  FIGURES.forEach((name, place) => {
    least[name] = Math.max(...cells.map((cell) => cell.litres[place])) / 10;
  });
  const row = cells[cells.length - 1].row;
  const sure = cells.every((cell) => cell.row[SURE]);
  least.dry = Math.min(least.past, least.out);
  const answer = {
    least: least, sure: sure, stay: stay, litres: litres,
    next: data.waters[row[NEXT]], behind: data.waters[row[BEHIND]],
    isEnd: least.past === 0 && least.out === 0,
    stop: data.stops.findIndex((stop) => Math.abs(stop[1] - km) <= SAME_KM),
  };
  answer.atWater = Math.abs(answer.behind[1] - km) <= SAME_KM;
  answer.says = saidOf(answer);
  return answer;
}

// On only where the next water is certain, or its being dry can be borne.
function saidOf(answer) {
  const has = (litres) => answer.litres + HAIR >= litres;
  const least = answer.least;
  answer.bears = answer.isEnd || answer.sure || has(least.dry);
  if (answer.bears && has(least.whole)) return "on";
  if (answer.bears && has(least.saving)) return "saving";
  return has(least.back) ? "back" : "wait";
}

function rationOf(answer) {
  return answer.litres + HAIR >= answer.least.full ? "full" : answer.litres + HAIR >= answer.least.lean ? "lean" : "bare";
}

// Until when the water lasts at rest in shade on the bare ration, and what help asks for.
function waitingAt(data, hour, litres) {
  const wait = data.wait;
  const free = Math.max(litres - wait.always_l, 0);
  const days = wait.found_by_h !== null ? Math.max(wait.found_by_h - hour, 0) / 24 : wait.help_days;
  return {
    until: wait.l_per_day > 0 ? hour + Math.floor(free / wait.l_per_day * 24) : Infinity,
    asks: days === null ? null : Math.ceil((days * wait.l_per_day + wait.always_l) * 10 - HAIR) / 10,
    days: days,
  };
}
