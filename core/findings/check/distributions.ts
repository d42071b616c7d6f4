/** The part of check.R that solves limits by their definitions, from R's own distribution functions. */
export const R_LIMITS = String.raw`
solve_for <- function(f, guess, step) {
  far <- step
  while (sign(f(guess - far)) == sign(f(guess + far))) far <- 2 * far
  uniroot(f, c(guess - far, guess + far), tol = 1e-13, maxiter = 10000)$root
}

# P(T <= t) of the noncentral t: R's own where it keeps its digits, else by integration over chi.
pt_ncp <- function(t, df, ncp) {
  if (abs(ncp) < 37) return(suppressWarnings(pt(t, df, ncp)))
  f <- function(s) pnorm(t * s - ncp) * exp(log(2) + df / 2 * log(df / 2) - lgamma(df / 2) + (df - 1) * log(s) - df * s^2 / 2)
  ends <- pmax(1e-9, 1 + c(-14, 14, 40) / sqrt(2 * df))
  places <- sort(unique(c(ends[1], pmin(ends[2], pmax(ends[1], (ncp + (-9):9) / t)), seq(ends[1], ends[2], length.out = 15), ends[3])))
  sum(mapply(function(a, b) integrate(f, a, b, rel.tol = 1e-12, abs.tol = 0, stop.on.error = FALSE)$value, head(places, -1), tail(places, -1)))
}

limits_t <- function(t, df, factor, confidence) {
  tail <- (1 - confidence) / 2
  factor * c(
    solve_for(function(ncp) pt_ncp(t, df, ncp) - (1 - tail), t, 1 + abs(t) / sqrt(df)),
    solve_for(function(ncp) pt_ncp(t, df, ncp) - tail, t, 1 + abs(t) / sqrt(df)))
}

# P(F <= f) of the noncentral F: a Poisson mixture of beta distributions.
pf_ncp <- function(f, df1, df2, ncp) {
  mean <- ncp / 2
  j <- max(0, floor(mean - 40 - 14 * sqrt(mean))):ceiling(mean + 40 + 14 * sqrt(mean))
  sum(dpois(j, mean) * pbeta(df1 * f / (df1 * f + df2), df1 / 2 + j, df2 / 2))
}

limits_f <- function(f, df1, df2, confidence) {
  tail <- (1 - confidence) / 2
  sapply(c(1 - tail, tail), function(p) {
    g <- function(ncp) pf_ncp(f, df1, df2, ncp) - p
    if (g(0) <= 0) return(0)
    high <- df1 * f + 10
    while (g(high) > 0) high <- 2 * high
    ncp <- uniroot(g, c(0, high), tol = 1e-11, maxiter = 10000)$root
    ncp / (ncp + df1 + df2 + 1)
  })
}

hedges <- function(m) if (m <= 1) 0 else exp(lgamma(m / 2) - lgamma((m - 1) / 2)) / sqrt(m / 2)

# Conditional odds ratio of a 2 x 2 table and its exact limits, by their definitions.
odds_ratio <- function(x, confidence) {
  m <- sum(x[, 1]); n <- sum(x[, 2]); k <- sum(x[1, ]); a <- x[1, 1]
  support <- max(0, k - n):min(k, m)
  log_chance <- dhyper(support, m, n, k, log = TRUE)
  chance <- function(l) { w <- log_chance + support * l; w <- exp(w - max(w)); w / sum(w) }
  at <- function(f) exp(uniroot(f, c(-300, 300), tol = 1e-14, maxiter = 10000)$root)
  tail <- (1 - confidence) / 2
  low <- a == min(support); high <- a == max(support)
  c(if (low) 0 else if (high) NA else at(function(l) sum(support * chance(l)) - a),
    if (low) 0 else at(function(l) sum(chance(l)[support >= a]) - tail),
    if (high) NA else at(function(l) sum(chance(l)[support <= a]) - tail))
}
`;
