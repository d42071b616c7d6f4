/**
 * European Data Format and its further forms: EDF (Kemp et al. 1992), EDF+ (Kemp & Olivan 2003), and BDF, the same with
 * samples of 24 bits. Values are physical: what the file's own limits make of its numbers. Records of an EDF+D or BDF+D
 * file stand at their own times.
 */
import { Buffer } from 'node:buffer';
import { done, failed, type Outcome } from '../../core/base/refusal.ts';
import type { Container, Signal } from './signals.ts';

/** Bytes of the fixed part of the header, and of the part of one signal. */
const FIXED = 256;
const PER_SIGNAL = 256;
const MOST_SIGNALS = 4096;
const ANNOTATIONS = /^(?:EDF|BDF) Annotations$/;

interface Shape {
  readonly name: string;
  readonly physical: readonly [number, number];
  readonly digital: readonly [number, number];
  /** Samples in one record. */
  readonly count: number;
  /** Where its samples begin in a record, bytes. */
  readonly offset: number;
}

/** Reads a file of the three forms; the failure goes on from "cannot be used: ". */
export function readEdf(bytes: Uint8Array): Outcome<Container, string> {
  const field = (at: number, length: number) => latin1(bytes.subarray(at, at + length)).trim();
  const isBdf = bytes[0] === 0xff && field(1, 7) === 'BIOSEMI';
  if (!isBdf && field(0, 8) !== '0') return failed('it is no EDF or BDF file');
  const [size, width] = [bytes.length, isBdf ? 3 : 2];
  const headerBytes = Number(field(184, 8));
  const signalCount = Number(field(252, 4));
  const durationS = Number(field(244, 8));
  if (!Number.isInteger(signalCount) || signalCount < 1 || signalCount > MOST_SIGNALS)
    return failed('its header does not say how many signals it has');
  if (headerBytes !== FIXED + signalCount * PER_SIGNAL || size < headerBytes)
    return failed('its header was cut short or is damaged');
  const shapes: Shape[] = [];
  let recordBytes = 0;
  for (let k = 0; k < signalCount; k++) {
    // Each field stands for all signals, one after the other; the fields before it take so many bytes a signal.
    const of = (before: number, length: number) => field(FIXED + before * signalCount + k * length, length);
    const count = Number(of(216, 8));
    if (!Number.isInteger(count) || count < 0)
      return failed(`signal ${k + 1} does not say how many samples it has`);
    shapes.push({
      name: of(0, 16),
      physical: [Number(of(104, 8)), Number(of(112, 8))],
      digital: [Number(of(120, 8)), Number(of(128, 8))],
      count,
      offset: recordBytes,
    });
    recordBytes += count * width;
  }
  if (recordBytes === 0) return failed('its records hold no samples');
  const said = Number(field(236, 8));
  const there = Math.floor((size - headerBytes) / recordBytes);
  const records = said >= 0 ? Math.min(said, there) : there;
  if (records === 0) return failed('it holds no whole record of samples');
  const faults =
    said > there ? [`The file was cut short: ${there} of its ${said} records are there; copy it again.`] : [];
  const isBroken = /^[EB]DF\+D/.test(field(192, 44));
  const data = new DataView(bytes.buffer, bytes.byteOffset + headerBytes, records * recordBytes);
  const starts = isBroken ? recordStarts(data, shapes, recordBytes, records, width) : null;
  if (isBroken && starts === null) return failed('its records do not say when they began');
  const signals: Signal[] = [];
  for (const shape of shapes) {
    if (ANNOTATIONS.test(shape.name) || shape.count === 0) continue;
    const { physical, digital } = shape;
    const perStep = (physical[1] - physical[0]) / (digital[1] - digital[0]);
    if (!Number.isFinite(perStep)) {
      faults.push(`The signal "${shape.name}" does not say what its numbers mean; it was left out.`);
      continue;
    }
    const rateHz = shape.count / durationS;
    const total = records * shape.count;
    const values = new Float64Array(total);
    const timeS = new Float64Array(total);
    for (let record = 0, at = 0; record < records; record++)
      for (let k = 0; k < shape.count; k++, at++) {
        const raw = rawAt(data, record * recordBytes + shape.offset + k * width, width);
        values[at] = physical[0] + (raw - digital[0]) * perStep;
        timeS[at] = starts === null ? at / rateHz : starts[record]! + k / rateHz;
      }
    const hasRate = durationS > 0;
    signals.push({
      name: shape.name,
      values,
      timeS: hasRate ? timeS : null,
      rateHz: hasRate && starts === null ? rateHz : null,
    });
  }
  return signals.length > 0 ? done({ signals, faults }) : failed('it holds no signal of samples');
}

function rawAt(data: DataView, at: number, width: number): number {
  return width === 2 ? data.getInt16(at, true) : data.getUint16(at, true) | (data.getInt8(at + 2) << 16);
}

/** When each record began, s, from the first annotation of each; null where one does not say. */
function recordStarts(
  data: DataView,
  shapes: readonly Shape[],
  recordBytes: number,
  records: number,
  width: number,
): Float64Array | null {
  const notes = shapes.find(({ name }) => ANNOTATIONS.test(name));
  if (notes === undefined) return null;
  const starts = new Float64Array(records);
  for (let record = 0; record < records; record++) {
    let text = '';
    for (let k = 0; k < Math.min(notes.count * width, 64); k++) {
      const byte = data.getUint8(record * recordBytes + notes.offset + k);
      if (byte === 0x14 || byte === 0x15) break;
      text += String.fromCharCode(byte);
    }
    if (!/^[+-]\d+(?:\.\d*)?$/.test(text)) return null;
    starts[record] = Number(text);
  }
  return starts;
}

function latin1(bytes: Uint8Array): string {
  return Buffer.from(bytes).toString('latin1');
}
