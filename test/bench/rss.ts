/** The command line, and at its end the most memory it had, on standard error. */
process.on('exit', () => {
  process.stderr.write(`maximum resident set: ${Math.round(process.resourceUsage().maxRSS / 1024)} MB\n`);
});
await import('../../main/cli/lanebench.ts');

export {};
