/** Lies in a lab folder that was salvaged: what was lost. */
export const REPORT_FILE = 'salvage-report.txt';
