# An independent reading of formats.md section 4 from the tables themselves, in base R and nlme: units, groups, n,
# left_out and the numbers of some tests. Prints question,term,what,value. Run: Rscript findings.R POOL
folder <- commandArgs(TRUE)[1]
read <- function(name) read.csv(file.path(folder, name), colClasses = "character", na.strings = character(0))
trials <- read("trials.csv"); people <- read("participants.csv"); strokes <- read("strokes.csv")
num <- function(x) suppressWarnings(as.numeric(x))
say <- function(question, term, ...) {
  v <- list(...)
  for (what in names(v)) cat(sprintf("%s,%s,%s,%.17g\n", question, term, what, as.numeric(v[[what]])))
}
kept <- trials[trials$status %in% c("accepted", "recorded") & trials$check == "good", ]
kept$sex <- people$sex[match(kept$participant, people$participant)]
everyone <- sort(unique(kept$participant))

modal <- function(values) {
  values <- values[values != ""]
  if (length(values) == 0) return(NA)
  counts <- sort(table(values), decreasing = TRUE)
  if (length(counts) > 1 && counts[1] == counts[2]) NA else names(counts)[1]
}
position <- sapply(everyone, function(p) modal(kept$entry_position[kept$participant == p]))
mean_of <- function(column, rows = kept) sapply(everyone, function(p) {
  x <- num(rows[[column]][rows$participant == p]); x <- x[!is.na(x)]
  if (length(x) == 0) NA else mean(x)
})

# Welch on participants' means, the group being each one's commonest entry position.
y <- mean_of("idc_pct")
inside <- is.na(position) | position %in% c("above", "level")
ok <- inside & !is.na(position) & !is.na(y)
w <- t.test(y[ok & position == "above"], y[ok & position == "level"])
say("welch", "", n = sum(ok), left_out = sum(inside) - sum(ok), statistic = w$statistic, df1 = w$parameter, p = w$p.value,
  estimate = diff(rev(w$estimate)), estimate_low = w$conf.int[1], estimate_high = w$conf.int[2])
inside <- is.na(position) | position %in% c("above", "level", "below")
ok <- inside & !is.na(position) & !is.na(y)
a <- anova(lm(y[ok] ~ position[ok]))
say("anova", "", n = sum(ok), left_out = sum(inside) - sum(ok), statistic = a[1, 4], df1 = a[1, 1], df2 = a[2, 1], p = a[1, 5],
  effect_value = a[1, 2] / sum(a[, 2]))

# Pairs: each one's mean under each condition.
under <- function(c) mean_of("idc_pct", kept[kept$condition == c, ])
d <- under("paddles") - under("sprint")
t <- t.test(d)
say("paired", "", n = sum(!is.na(d)), left_out = sum(is.na(d)), statistic = t$statistic, df1 = t$parameter, p = t$p.value, estimate = t$estimate)

# The fastest trial of each swimmer.
v <- num(kept$velocity_m_s)
best <- sapply(everyone, function(p) { i <- which(kept$participant == p); i[which.max(v[i])] })
x <- num(kept$idc_left_pct[best]); s <- kept$sex[best]
m <- suppressWarnings(wilcox.test(x[s == "female"], x[s == "male"], exact = FALSE, correct = TRUE))
say("tied ranks", "", n = length(best), left_out = 0, statistic = m$statistic, p = m$p.value,
  estimate = median(outer(x[s == "female"], x[s == "male"], "-")))

# Counts of everyone with a kept trial.
groups <- position %in% c("above", "level", "below")
own_sex <- kept$sex[match(everyone, kept$participant)]
k <- suppressWarnings(chisq.test(table(position[groups], own_sex[groups]), correct = FALSE))
say("counts", "", n = sum(groups), left_out = sum(is.na(position)), statistic = k$statistic, df1 = k$parameter, p = k$p.value)

# Means over the strokes that count, then over trials.
counted <- strokes[strokes$in_section == "true" & strokes$exclusion_reason == "", ]
kept$peak <- sapply(kept$trial, function(one) { x <- num(counted$peak_force_n[counted$trial == one]); if (length(x) == 0) NA else mean(x) })
both <- kept[!is.na(kept$peak) & !is.na(num(kept$velocity_m_s)), ]
f <- tapply(both$peak, both$participant, mean); v2 <- tapply(num(both$velocity_m_s), both$participant, mean)
r <- cor.test(rank(f), rank(v2))
say("spearman", "", n = length(f), left_out = length(everyone) - length(f), statistic = r$statistic, p = r$p.value, effect_value = r$estimate)

# Trials with a random intercept.
u <- kept[!is.na(num(kept$idc_pct)), ]
u$y <- num(u$idc_pct); u$condition <- factor(u$condition, levels = c("sprint", "paddles")); u$sex <- factor(u$sex)
for (design in c("condition", "sex")) {
  u$group <- u[[design]]
  fit <- nlme::lme(y ~ group, random = ~ 1 | participant, data = u, method = "REML")
  t <- summary(fit)$tTable; ci <- nlme::intervals(fit, which = "fixed")$fixed
  name <- if (design == "condition") "mixed within" else "mixed between"
  # nlme gives an intercept between swimmers the degrees of freedom of trials; the contract gives all coefficients one.
  for (i in 1:2) if (design == "sex" && i == 1) say(name, "intercept", n = nrow(u), estimate = t[i, 1], statistic = t[i, 4])
    else say(name, if (i == 1) "intercept" else levels(u$group)[2], n = nrow(u), left_out = nrow(kept) - nrow(u),
    estimate = t[i, 1], statistic = t[i, 4], df1 = t[i, 3], p = t[i, 5], estimate_low = ci[i, 1], estimate_high = ci[i, 3])
  say(name, "participant_sd", estimate = as.numeric(nlme::VarCorr(fit)[1, 2]))
  say(name, "residual_sd", estimate = fit$sigma)
}

# Typical error of swimmers with two kept trials or more.
times <- table(kept$participant)
again <- kept[kept$participant %in% names(times)[times > 1], ]
m <- anova(lm(num(velocity_m_s) ~ participant, again))
say("repeat", "typical_error", n = nrow(again), left_out = nrow(kept) - nrow(again), df1 = m[2, 1], estimate = sqrt(m[2, 3]))
