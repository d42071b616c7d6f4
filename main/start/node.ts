/** Whether this Node can open the database at all. */

/** The Node-API version the database's binding is built for. */
const NODE_API = 10;

/** Null where it can; else what is wrong and what to do. An older Node would die on opening, without a word. */
export function nodeFault(versions: Readonly<Record<string, string | undefined>>): string | null {
  if (Number(versions['napi'] ?? 0) >= NODE_API) return null;
  return (
    `Lanebench needs Node 24 or newer; this is Node ${versions['node'] ?? '?'}. ` +
    'Start it with "npm start" after "npm ci" (on Linux that brings Node 24 along), or install Node 24 and try again.'
  );
}
