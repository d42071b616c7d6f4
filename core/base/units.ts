/**
 * Units and clocks as types, where one number could be taken for another: series of raw values, of pressure and of
 * force, and times on the trial's clock and on a film's. A value that is said to be of one does not compile where
 * another is wanted; one of which nothing is said, such as a number read from a file, may become any of them. What is
 * computed with it is a plain number again, and is said anew by the function that returns it.
 */
declare const unit: unique symbol;

type Of<T, U extends string> = T & { readonly [unit]?: U };

/** Samples in the sensor's raw unit. */
export type RawSeries = Of<Float64Array, 'raw'>;
/** Pressure differences, kPa. */
export type KpaSeries = Of<Float64Array, 'kPa'>;
/** Forces, N. */
export type NewtonSeries = Of<Float64Array, 'N'>;
/** A time on the trial's clock, s: its trace's, or camera A's where it has no trace. */
export type TraceS = Of<number, 's on the trace'>;
/** A time on a film's own clock, s. */
export type FilmS = Of<number, 's of the film'>;
