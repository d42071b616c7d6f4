/** The certificate of a calibration as a page, and as a PDF where the host can print. */
import { certificateHtml } from '../../../core/pages/certificate.ts';
import { contentFaults, recordingsOf } from '../kept/evidence.ts';
import type { Resource } from '../kept/port.ts';
import { readRegister } from '../kept/register.ts';
import { labNameOf, type Session } from '../kept/session.ts';

/** The certificate; null where there is no such calibration, or the host cannot print a PDF. */
export async function certificate(
  session: Session,
  id: number,
  kind: 'html' | 'pdf',
): Promise<Resource | null> {
  const { calibrations, cards } = readRegister(session);
  const record = [...calibrations.values()].flat().find((calibration) => calibration.id === id);
  const card = record === undefined ? undefined : cards.get(record.sensor);
  if (record === undefined || card === undefined) return null;
  const faults = await contentFaults(session, recordingsOf([record.draft]), 'checked');
  const html = certificateHtml({
    record,
    card,
    lab: labNameOf(session),
    seal: record.seal,
    damaged: faults.map(({ says }) => says),
  });
  if (kind === 'html') {
    return { kind: 'bytes', bytes: new TextEncoder().encode(html), mime: 'text/html; charset=utf-8' };
  }
  const bytes = await session.printPdf?.(html);
  return bytes == null ? null : { kind: 'bytes', bytes, mime: 'application/pdf' };
}
