/**
 * Starts a program of this folder, or says why this Node cannot. Plain JavaScript, so that a Node too old to read
 * TypeScript can still say it.
 */
const OLDEST = 24;

if (Number(process.versions.node.split('.')[0]) < OLDEST) {
  console.error(
    `Lanebench needs Node ${OLDEST} or newer; this is Node ${process.versions.node}. ` +
      `On Linux "npm ci" brings it along for "npm start"; elsewhere install Node ${OLDEST} and try again.`,
  );
  process.exitCode = 1;
} else {
  const [program] = process.argv.splice(2, 1);
  await import(new URL(`${program}.ts`, import.meta.url).href);
}
