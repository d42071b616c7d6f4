export const ROOMS: Readonly<Record<string, readonly (readonly string[])[]>>;
