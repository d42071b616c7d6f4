/** check.R: recomputes tests.csv from units.csv with base R and nlme, and says where the two differ. */
import { designOf } from '../ask.ts';
import type { Results } from '../compare.ts';
import type { Adjust } from '../plan.ts';
import { R_LIMITS } from './distributions.ts';
import { R_TESTS } from './tests.ts';

const HEAD = String.raw`# Recomputes tests.csv from units.csv with base R and nlme.
# Run it in this folder: Rscript check.R
# It prints one line per row and ends with status 0 where every number agrees, 1 where one does not.
# Agreement: 1e-6 of the value, for mixed 1e-4 (a participant_sd of 0 stands for a variance at its bound).
options(digits = 15, warn = 1)
plain <- function(x) sub("^'(?=[-=+@\t\r'])", "", x, perl = TRUE)
read <- function(file) {
  texts <- c("question", "kind", "test", "outcome", "term", "effect", "notes", "by", "on", "participant", "day", "trial", "group", "group_2")
  d <- read.csv(file, colClasses = "character", check.names = FALSE, encoding = "UTF-8")
  for (name in names(d)) {
    if (name %in% texts && !(file == "units.csv" && name == "on")) d[[name]] <- plain(d[[name]])
    else d[[name]] <- as.numeric(d[[name]])
  }
  d
}
units <- read("units.csv")
tests <- read("tests.csv")
`;

const TAIL = String.raw`
answer <- function(q) {
  u <- units[units$question == q$id, ]
  if (q$design != "line" && q$design != "repeats") {
    u$group <- factor(u$group, levels = q$groups)
    if (length(q$groups_2) > 0) u$group_2 <- factor(u$group_2, levels = q$groups_2)
  }
  u$participant <- factor(u$participant, levels = unique(u$participant))
  of <- function(k) u$value[u$group == q$groups[k]]
  switch(q$test,
    welch = , student = t_row(of(1), of(2), q),
    paired = paired_row(of(1), of(2), q),
    equivalence = equivalence_row(of(1), of(2), q),
    mann_whitney = rank_sum_row(of(1), of(2), q),
    wilcoxon = signed_rank_row(of(1), of(2), q),
    welch_anova = , anova = , kruskal = anova_row(u, q),
    anova2 = anova2_rows(u, q),
    chi_square = , fisher = count_row(u, q),
    pearson = , spearman = , regression = line_rows(u, q),
    mixed = mixed_rows(u, q),
    repeatability = repeat_rows(u, q))
}

mine <- do.call(rbind, lapply(questions, function(q) cbind(question = q$id, kind = q$kind, test = q$test, answer(q))))
mine$p_adjusted <- NA
for (kind in unique(mine$kind)) {
  family <- which(mine$kind == kind & !is.na(mine$p) & mine$term != "intercept")
  mine$p_adjusted[family] <- p.adjust(mine$p[family], method = c(holm = "holm", bh = "BH", none = "none")[[adjust]])
}
stopifnot(nrow(mine) == nrow(tests), mine$question == tests$question, mine$term == tests$term)

numbers <- c("statistic", "df1", "df2", "p", "p_adjusted", "effect_value", "effect_low", "effect_high", "estimate", "estimate_low", "estimate_high")
bad <- 0
for (i in seq_len(nrow(mine))) {
  room <- if (mine$test[i] == "mixed") 1e-4 else 1e-6
  at_bound <- mine$term[i] == "participant_sd" && isTRUE(tests$estimate[i] == 0)
  worst <- 0; where <- ""
  for (name in numbers) {
    a <- mine[[name]][i]; b <- tests[[name]][i]
    if (is.na(a) && is.na(b)) next
    away <- if (is.na(a) != is.na(b)) Inf else if (at_bound) a / mine$estimate[i + 1] / 100
      else abs(a - b) / max(abs(a), abs(b), 1e-9 * max(1, abs(mine$estimate[i]), na.rm = TRUE))
    if (!is.nan(away) && away > worst) { worst <- away; where <- name }
  }
  agrees <- worst <= room
  if (!agrees) bad <- bad + 1
  cat(sprintf("%-8s %s %s %s: largest relative difference %.1e%s\n", if (agrees) "agrees" else "DIFFERS",
    mine$question[i], mine$test[i], mine$term[i], worst, if (where == "") "" else paste0(" (", where, ")")))
}
cat(sprintf("%d rows, %d differ\n", nrow(mine), bad))
quit(status = if (bad == 0) 0 else 1)
`;

const quoted = (text: string) =>
  `"${text.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('\n', '\\n')}"`;

const vector = (texts: readonly string[]) =>
  texts.length === 0 ? 'character(0)' : `c(${texts.map(quoted).join(', ')})`;

/** The script's text. */
export function checkScript({ findings }: Results, adjust: Adjust): string {
  const questions = findings.map(({ answered: { question, compared, by } }) => {
    const parts = [
      `id = ${quoted(question.id)}`,
      `kind = ${quoted(question.kind)}`,
      `test = ${quoted(question.test)}`,
      `design = ${quoted(designOf(question.test))}`,
      `confidence = ${question.confidence}`,
      `squares = ${question.squares}`,
      `margin = ${question.margin ?? 'NA'}`,
      `by = ${vector(by)}`,
      `groups = ${vector(compared.names[0] ?? [])}`,
      `groups_2 = ${vector(compared.names[1] ?? [])}`,
    ];
    return `  list(${parts.join(', ')})`;
  });
  return `${HEAD}adjust <- ${quoted(adjust)}\nquestions <- list(\n${questions.join(',\n')})\n${R_LIMITS}${R_TESTS}${TAIL}`;
}
