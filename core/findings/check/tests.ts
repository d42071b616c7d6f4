/** The part of check.R with one function per test: rows as tests.csv has them, from base R and nlme. */
export const R_TESTS = String.raw`
row <- function(term = "", statistic = NA, df1 = NA, df2 = NA, p = NA, effect = c(NA, NA, NA), estimate = c(NA, NA, NA))
  data.frame(term = term, statistic = unname(statistic), df1 = unname(df1), df2 = unname(df2), p = unname(p),
    effect_value = effect[1], effect_low = effect[2], effect_high = effect[3],
    estimate = estimate[1], estimate_low = estimate[2], estimate_high = estimate[3], row.names = NULL)

t_row <- function(x, y, q) {
  student <- q$test == "student"
  t <- t.test(x, y, var.equal = student, conf.level = q$confidence)
  n1 <- length(x); n2 <- length(y); v1 <- var(x); v2 <- var(y); d <- mean(x) - mean(y)
  if (student) {
    df <- n1 + n2 - 2; s <- sqrt(((n1 - 1) * v1 + (n2 - 1) * v2) / df); se <- s * sqrt(1 / n1 + 1 / n2)
  } else {
    df <- (n1 - 1) * (n2 - 1) * (v1 + v2)^2 / ((n2 - 1) * v1^2 + (n1 - 1) * v2^2)
    s <- sqrt((v1 + v2) / 2); se <- sqrt(v1 / n1 + v2 / n2)
  }
  row("", t$statistic, t$parameter, NA, t$p.value,
    c(hedges(df) * d / s, limits_t(t$statistic, t$parameter, hedges(df) * se / s, q$confidence)),
    c(d, t$conf.int))
}

paired_row <- function(x, y, q) {
  t <- t.test(x, y, paired = TRUE, conf.level = q$confidence)
  d <- x - y; n <- length(d); j <- hedges(n - 1)
  row("", t$statistic, t$parameter, NA, t$p.value,
    c(j * mean(d) / sd(d), limits_t(t$statistic, n - 1, j / sqrt(n), q$confidence)), c(mean(d), t$conf.int))
}

equivalence_row <- function(x, y, q) {
  above <- t.test(x, y, mu = -q$margin, alternative = "greater")
  below <- t.test(x, y, mu = q$margin, alternative = "less")
  both <- t.test(x, y, conf.level = 2 * q$confidence - 1)
  nearer <- if (abs(above$statistic) <= abs(below$statistic)) above else below
  row("", nearer$statistic, both$parameter, NA, max(above$p.value, below$p.value), estimate = c(mean(x) - mean(y), both$conf.int))
}

rank_sum_row <- function(x, y, q) {
  m <- length(x); n <- length(y)
  exact <- m < 50 && n < 50 && !anyDuplicated(c(x, y))
  w <- wilcox.test(x, y, exact = exact, correct = TRUE)
  d <- sort(as.vector(outer(x, y, "-")))
  k <- max(1, qwilcox((1 - q$confidence) / 2, m, n))
  row("", w$statistic, p = w$p.value, effect = c(2 * w$statistic / (m * n) - 1, NA, NA),
    estimate = c(median(d), if (exact) c(d[k], d[m * n + 1 - k]) else c(NA, NA)))
}

signed_rank_row <- function(x, y, q) {
  d <- (x - y)[x != y]; n <- length(d)
  exact <- n < 50 && n == length(x) && !anyDuplicated(abs(d))
  w <- wilcox.test(d, exact = exact, correct = TRUE)
  a <- outer(d, d, "+") / 2; a <- sort(a[upper.tri(a, diag = TRUE)])
  k <- max(1, qsignrank((1 - q$confidence) / 2, n))
  row("", w$statistic, p = w$p.value, effect = c(4 * w$statistic / (n * (n + 1)) - 1, NA, NA),
    estimate = c(median(a), if (exact) c(a[k], a[length(a) + 1 - k]) else c(NA, NA)))
}

anova_row <- function(u, q) {
  if (q$test == "welch_anova") {
    w <- oneway.test(value ~ group, u)
    return(row("", w$statistic, w$parameter[1], w$parameter[2], w$p.value))
  }
  if (q$test == "kruskal") {
    k <- kruskal.test(u$value, u$group)
    return(row("", k$statistic, k$parameter, p = k$p.value, effect = c(k$statistic / (nrow(u) - 1), NA, NA)))
  }
  a <- anova(lm(value ~ group, within(u, value <- value - mean(value))))
  f <- a[1, "F value"]
  row("", f, a[1, "Df"], a[2, "Df"], a[1, "Pr(>F)"],
    c(a[1, "Sum Sq"] / sum(a[, "Sum Sq"]), limits_f(f, a[1, "Df"], a[2, "Df"], q$confidence)))
}

anova2_rows <- function(u, q) {
  u$value <- u$value - mean(u$value)
  contrasts(u$group) <- contr.sum(nlevels(u$group)); contrasts(u$group_2) <- contr.sum(nlevels(u$group_2))
  x <- model.matrix(~ group * group_2, u); part <- attr(x, "assign")
  rss <- function(terms) sum(lm.fit(x[, part %in% terms, drop = FALSE], u$value)$residuals^2)
  error <- rss(0:3); df2 <- nrow(u) - ncol(x)
  ss <- if (q$squares == 2) c(rss(c(0, 2)) - rss(0:2), rss(c(0, 1)) - rss(0:2), rss(0:2) - error)
    else c(rss(c(0, 2, 3)) - error, rss(c(0, 1, 3)) - error, rss(0:2) - error)
  names <- c(q$by, paste(q$by, collapse = ":"))
  do.call(rbind, lapply(1:3, function(i) {
    df1 <- sum(part == i); f <- ss[i] / df1 / (error / df2)
    row(names[i], f, df1, df2, pf(f, df1, df2, lower.tail = FALSE), c(ss[i] / (ss[i] + error), limits_f(f, df1, df2, q$confidence)))
  }))
}

count_row <- function(u, q) {
  x <- table(u$group, u$group_2)
  if (q$test == "chi_square") {
    k <- suppressWarnings(chisq.test(x, correct = FALSE))
    return(row("", k$statistic, k$parameter, p = k$p.value, effect = c(sqrt(k$statistic / (sum(x) * (min(dim(x)) - 1))), NA, NA)))
  }
  p <- fisher.test(x, workspace = 2e8)$p.value
  row("", p = p, effect = if (all(dim(x) == 2)) odds_ratio(x, q$confidence) else c(NA, NA, NA))
}

line_rows <- function(u, q) {
  if (q$test == "regression") {
    fit <- lm(value ~ on, u); s <- summary(fit); k <- coef(s); ci <- confint(fit, level = q$confidence)
    return(rbind(
      row("intercept", k[1, 3], fit$df.residual, p = k[1, 4], estimate = c(k[1, 1], ci[1, ])),
      row("slope", k[2, 3], fit$df.residual, p = k[2, 4], effect = c(s$r.squared, NA, NA), estimate = c(k[2, 1], ci[2, ]))))
  }
  x <- u$on; y <- u$value
  if (q$test == "spearman") { x <- rank(x); y <- rank(y) }
  r <- cor.test(x, y, conf.level = q$confidence)
  limits <- if (q$test == "pearson" && nrow(u) > 3) r$conf.int else c(NA, NA)
  row("", r$statistic, r$parameter, p = r$p.value, effect = c(r$estimate, limits))
}

mixed_rows <- function(u, q) {
  people <- length(unique(u$participant)); groups <- nlevels(u$group)
  between <- all(tapply(as.character(u$group), u$participant, function(g) length(unique(g))) == 1)
  df <- if (between) people - groups else nrow(u) - people - (groups - 1)
  fit <- nlme::lme(value ~ group, random = ~ 1 | participant, data = u, method = "REML",
    control = nlme::lmeControl(msMaxIter = 500, tolerance = 1e-10, msTol = 1e-12, returnObject = TRUE))
  b <- nlme::fixef(fit); se <- sqrt(diag(vcov(fit))); sds <- as.numeric(nlme::VarCorr(fit)[, "StdDev"])
  t <- b / se; half <- qt((1 + q$confidence) / 2, df) * se
  rows <- do.call(rbind, lapply(seq_along(b), function(i)
    row(if (i == 1) "intercept" else levels(u$group)[i], t[i], df, p = 2 * pt(-abs(t[i]), df), estimate = c(b[i], b[i] - half[i], b[i] + half[i]))))
  rbind(rows, row("participant_sd", estimate = c(fit$sigma * sqrt(as.numeric(nlme::pdMatrix(fit$modelStruct$reStruct)[[1]])), NA, NA)), row("residual_sd", estimate = c(fit$sigma, NA, NA)))
}

repeat_rows <- function(u, q) {
  tail <- (1 - q$confidence) / 2
  a <- anova(lm(value ~ participant, u)); df <- a[2, "Df"]; te <- sqrt(a[2, "Mean Sq"])
  limits <- te * sqrt(df / qchisq(c(1 - tail, tail), df))
  k <- min(table(u$participant)); n <- nlevels(u$participant)
  u$occasion <- ave(seq_len(nrow(u)), u$participant, FUN = seq_along)
  v <- u[u$occasion <= k, ]; m <- anova(lm(value ~ participant + factor(occasion), v))[, "Mean Sq"]
  r <- m[1]; o <- m[2]; e <- m[3]
  icc2 <- (r - e) / (r + (k - 1) * e + k * (o - e) / n)
  w <- k * icc2 / (n * (1 - icc2)); b <- 1 + w * (n - 1)
  d <- (w * o + b * e)^2 / ((w * o)^2 / (k - 1) + (b * e)^2 / ((n - 1) * (k - 1)))
  low <- qf(1 - tail, n - 1, d); high <- qf(1 - tail, d, n - 1); noise <- k * o + (k * n - k - n) * e
  f <- c(r / e, r / e / qf(1 - tail, n - 1, (n - 1) * (k - 1)), r / e * qf(1 - tail, (n - 1) * (k - 1), n - 1))
  rbind(row("typical_error", df1 = df, estimate = c(te, limits)),
    row("change_95", estimate = 1.96 * sqrt(2) * c(te, limits)),
    row("icc_2_1", estimate = c(icc2, n * (r - low * e) / (low * noise + n * r), n * (high * r - e) / (noise + n * high * r))),
    row("icc_3_1", estimate = (f - 1) / (f + k - 1)))
}
`;
