// Looks up what was worked out for a place and an hour, and takes the worse neighbour.
// Nothing is reckoned but hours late, litres over a day's litres, and roundings that are never kind.
"use strict";

const SAME_KM = 0.05, SAME_HOUR = 0.01, ROUND_KM = 0.001, HAIR = 1e-6, HALT = 3, NEXT = 4, BEHIND = 5, SURE = 6, CELLS = 7;
const FIGURES = ["full", "lean", "bare", "whole", "saving", "back", "past", "out"];

// The rows that hold a place. Who stands at water asks about the way on from there, and who stands
// where a row begins, as at a camp, is asked nothing of the way up to it.
function rowsAt(data, km) {
  const near = data.rows.filter((row) => row[0] - SAME_KM <= km && km <= row[1] + SAME_KM);
  const onward = near.filter((row) => data.waters[row[NEXT]][1] > km + SAME_KM);
  const rows = onward.length ? onward : near;
  const begin = rows.filter((row) => Math.abs(row[0] - km) <= ROUND_KM);
  return begin.length ? begin : rows;
}

// Each cell holds for all who are in it: of those at one place the ones that are least late count,
// that of the halt before those of the steps beside it, and of these the worst.
function cellsAt(data, hour, rows) {
  const cells = [];
  for (const row of rows) {
    const late = hour - row[2];
    for (let column = 0; column + 1 < data.late_h.length; column += 1) {
      if (data.late_h[column] - HAIR <= late && late <= data.late_h[column + 1] + HAIR) {
        cells.push({ row: row, late: Math.abs(late), litres: row[CELLS][column] });
      }
    }
  }
  const least = Math.min(...cells.map((cell) => cell.late));
  const near = cells.filter((cell) => cell.late <= least + 1);
  const halts = near.filter((cell) => cell.row[HALT] === 1);
  return halts.length ? halts : near;
}

// The row of the plan itself for who is on it: the nearest in time, up to half an hour early or late.
function plannedAt(data, km, hour, next) {
  let best = null;
  for (const [fromKm, toKm, fromHour, toHour, on, clear, has, ...least] of data.planned) {
    if (on !== next || km < fromKm - SAME_KM || km > toKm + SAME_KM) continue;
    const part = toKm > fromKm ? Math.min(Math.max((km - fromKm) / (toKm - fromKm), 0), 1) : null;
    const late = part === null ? Math.min(hour - fromHour, 0) + Math.max(hour - toHour, 0) : hour - fromHour - (toHour - fromHour) * part;
    const place = data.planned_late_h.findIndex((most) => late <= most + HAIR) - 1;
    if (late < data.planned_late_h[0] - HAIR || place < -1) continue;
    const holds = least[Math.max(place, 0)];
    if (holds !== null && (!best || Math.abs(late) <= best.late + SAME_HOUR)) best = { late: Math.min(Math.abs(late), best ? best.late : Infinity), holds: holds, has: Math.max(has, holds), clear: clear === 1 };
  }
  return best;
}

// No more counts than the containers hold: who reads off more has misread.
const counted = (data, read) => data.holds_l ? Math.min(read, data.holds_l) : read;

// `dryKms`: where the party has written down that there is no water. Nobody is sent there, to go on or back.
function longdryAnswer(data, km, hour, read, dryKms = []) {
  const isDry = (atKm) => dryKms.some((one) => Math.abs(one - atKm) <= SAME_KM);
  const litres = counted(data, read);
  const stay = waitingAt(data, hour, litres);
  const cells = cellsAt(data, hour, rowsAt(data, km));
  if (!cells.length) return { says: "unknown", stay: stay, plan: rowsAt(data, km).map((row) => row[2]) };
  const least = {};
  FIGURES.forEach((name, place) => {
    least[name] = Math.max(...cells.map((cell) => cell.litres[place])) / 10;
  });
  const [isNextDry, isBehindDry] = [NEXT, BEHIND].map((end) => cells.some((cell) => isDry(data.waters[cell.row[end]][1])));
  least.dry = data.only_on || isNextDry || isBehindDry ? least.past : Math.min(least.past, least.out);
  const sure = !isNextDry && cells.every((cell) => cell.row[SURE]);
  // On only where the next water is certain, or its being dry can be borne.
  for (const name of ["whole", "saving"]) least[name + "On"] = sure ? least[name] : Math.max(least[name], least.dry);
  const row = cells[cells.length - 1].row;
  // Who is on the plan and has what it counts on is told no less than the plan promises, which knows no water found dry.
  const plan = isNextDry || isBehindDry ? null : plannedAt(data, km, hour, row[NEXT]);
  const alone = least.savingOn;
  if (plan) {
    plan.holds = Math.max(plan.holds, least.bare);
    plan.has = Math.max(plan.has, plan.holds);
    least.savingOn = Math.min(alone, plan.holds);
    if (plan.clear) least.wholeOn = Math.min(least.wholeOn, plan.has);
  }
  const answer = {
    least: least, sure: sure, stay: stay, litres: litres,
    byPlan: plan && litres + HAIR < alone && litres + HAIR >= plan.holds, asPlanned: plan && litres + HAIR >= plan.has, planned: plan,
    next: data.waters[row[NEXT]], behind: data.waters[row[BEHIND]],
    isNextDry: isNextDry, isBehindDry: isBehindDry, isHereDry: isDry(km),
    isEnd: least.past === 0 && least.out === 0,
    stop: data.stops.findIndex((stop) => Math.abs(stop[1] - km) <= SAME_KM),
  };
  answer.atWater = Math.abs(answer.behind[1] - km) <= SAME_KM;
  answer.opens = (data.stops.find((stop) => Math.abs(stop[1] - answer.next[1]) <= SAME_KM) || [])[2] || "";
  answer.canFill = answer.stop >= 0 && !isDry(km) && counted(data, Infinity) >= least.savingOn;
  answer.back = answer.atWater ? backIfDry(data, km, hour) : { water: answer.behind, litres: least.back };
  answer.noBack = answer.back && isDry(answer.back.water[1]) ? answer.back.water : null;
  if (answer.noBack) answer.back = null;
  answer.says = saidOf(answer);
  return answer;
}

// Back from a stop that is found dry: what those ask for who come here and find it so.
function backIfDry(data, km, hour) {
  const arriving = data.rows.filter((row) => row[0] - SAME_KM <= km && km <= row[1] + SAME_KM && Math.abs(data.waters[row[NEXT]][1] - km) <= SAME_KM);
  const cells = cellsAt(data, hour, arriving);
  if (!cells.length) return null;
  return {
    water: data.waters[cells[cells.length - 1].row[BEHIND]],
    litres: Math.max(...cells.map((cell) => cell.litres[FIGURES.indexOf("out")])) / 10,
  };
}

function saidOf(answer) {
  const has = (litres) => answer.litres + HAIR >= litres;
  if (has(answer.least.wholeOn)) return "on";
  if (has(answer.least.savingOn)) return "saving";
  if (answer.canFill) return "fill";
  return answer.back && has(answer.back.litres) ? "back" : "wait";
}

function rationOf(answer) {
  if (answer.byPlan) return "bare";
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
