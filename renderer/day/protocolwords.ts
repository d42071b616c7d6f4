/** The protocol in words, for the head of a day. */
import { largest, smallest } from '../../core/base/extent.ts';
import type { Protocol } from '../../core/protocol/protocol.ts';
import { hasMixedSectionPoints, sectionLengthM } from '../../core/protocol/protocol.ts';
import { counted, formatNumber } from '../format.ts';

export interface ProtocolLine {
  readonly about: string;
  readonly says: string;
}

const NBSP = '\u00a0';
const metres = (lengthM: number) => `${plain(lengthM)}${NBSP}m`;
/** A number as the protocol gives it: no digits added. */
const plain = (value: number) => formatNumber(value, (String(value).split('.')[1] ?? '').length);

export function protocolWords(protocol: Protocol): readonly ProtocolLine[] {
  return [
    { about: 'Run', says: runWords(protocol) },
    { about: 'Measured', says: sectionWords(protocol) },
    { about: 'Filter', says: filterWords(protocol) },
    { about: 'Good when', says: limitWords(protocol) },
  ];
}

function runWords({ stroke, runM, attempts, restMinS }: Protocol): string {
  const parts = [
    stroke?.replaceAll('_', ' ') ?? 'stroke not given',
    runM === null ? 'length not given' : `${metres(runM)} to the wall`,
    attempts === null ? null : counted(attempts, 'attempt'),
    restMinS === null ? null : `at least ${plain(restMinS)}${NBSP}s of rest`,
  ];
  return parts.filter((part) => part !== null).join(', ');
}

function sectionWords(protocol: Protocol): string {
  const { sectionFromWallM, sectionUM, sectionPoints } = protocol;
  const length = sectionLengthM(protocol);
  if (sectionFromWallM === null || length === null) return 'no section is set: velocity stays empty';
  const [far, near] = [largest(sectionFromWallM), smallest(sectionFromWallM)];
  const u = sectionUM === null ? ', uncertainty not given' : `, standard uncertainty ${metres(sectionUM)}`;
  const where =
    near === 0 ? `the last ${metres(length)}` : `${metres(far)} to ${metres(near)} before the wall`;
  const { start, end } = sectionPoints;
  const points = hasMixedSectionPoints(protocol)
    ? `, from the ${start} to the ${end}: an arm’s reach hides in the velocity`
    : start === null
      ? ''
      : `, timed at the ${start}`;
  return `${where}${u}${points}`;
}

function filterWords({ filter }: Protocol): string {
  switch (filter.kind) {
    case 'none':
      return 'none: the pressure is used as it was sampled';
    case 'unusable':
      return 'asked for in words that mean none: forces stay empty';
    case 'butterworth':
      return `Butterworth low-pass of order ${filter.order}, ${plain(filter.cutoffHz)}${NBSP}Hz, run forward and backward`;
  }
}

function limitWords({ accept }: Protocol): string {
  const { minStrokesPerHand, maxGapMs, maxSaturatedFraction, maxZeroShiftKpa } = accept;
  const parts = [
    minStrokesPerHand === null ? null : `at least ${counted(minStrokesPerHand, 'stroke')} per hand`,
    maxGapMs === null ? null : `no gap above ${plain(maxGapMs)}${NBSP}ms`,
    maxSaturatedFraction === null
      ? null
      : `at most ${Number((100 * maxSaturatedFraction).toPrecision(6))}${NBSP}% of samples at the end of the range`,
    maxZeroShiftKpa === null ? null : `the zero moved by at most ${plain(maxZeroShiftKpa)}${NBSP}kPa`,
  ].filter((part) => part !== null);
  return parts.length === 0 ? 'a trace and section times are there: no limit is set' : parts.join(', ');
}
