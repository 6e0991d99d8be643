/** Each program writes its best CPU seconds of three runs, then its estimates, to the file named last; status 9 where a package is absent. */

export const SURVREG_R = `
if (!requireNamespace("survival", quietly = TRUE)) quit(status = 9)
library(survival)
files <- commandArgs(TRUE)
d <- read.csv(files[1])
for (k in grep("^f", names(d))) d[[k]] <- factor(d[[k]])
f <- as.formula(paste('Surv(lo, hi, type = "interval2") ~', paste(names(d)[-(1:2)], collapse = "+")))
times <- replicate(3, { t <- system.time(m <<- survreg(f, d, dist = "lognormal")); t[1] + t[2] })
writeLines(format(c(min(times), coef(m)[1:3], m$scale), digits = 15), files[2])
`;

export const LMER_R = `
if (!requireNamespace("lme4", quietly = TRUE)) quit(status = 9)
library(lme4)
files <- commandArgs(TRUE)
d <- read.csv(files[1])
d$p <- factor(d$p)
d$m <- factor(d$m)
times <- replicate(3, { t <- system.time(m <<- lmer(y ~ a + b + (1 | p) + (1 | m), d)); t[1] + t[2] })
sds <- as.data.frame(VarCorr(m))
by <- function(g) sds$sdcor[sds$grp == g]
writeLines(format(c(min(times), fixef(m), by("p"), by("m"), by("Residual")), digits = 15), files[2])
`;

export const GRAM_C = `
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

int main(int argc, char **argv) {
  long rows = atol(argv[2]), entries = atol(argv[3]), columns = atol(argv[4]), size = columns * (columns + 1) / 2;
  int *start = malloc((rows + 1) * sizeof(int)), *column = malloc(entries * sizeof(int));
  double *value = malloc(entries * sizeof(double)), *gram = malloc(size * sizeof(double)), best = 1e9;
  FILE *in = fopen(argv[1], "rb");
  if (!in || fread(start, sizeof(int), rows + 1, in) != (size_t)(rows + 1) || fread(column, sizeof(int), entries, in) != (size_t)entries ||
      fread(value, sizeof(double), entries, in) != (size_t)entries) return 1;
  for (int run = 0; run < 3; run++) {
    clock_t begin = clock();
    memset(gram, 0, size * sizeof(double));
    for (long i = 0; i < rows; i++)
      for (int k = start[i]; k < start[i + 1]; k++) {
        long row = (long)column[k] * (column[k] + 1) / 2;
        double scaled = 0.5 * value[k];
        for (int m = start[i]; m <= k; m++) gram[row + column[m]] += scaled * value[m];
      }
    double seconds = (double)(clock() - begin) / CLOCKS_PER_SEC;
    if (seconds < best) best = seconds;
  }
  FILE *out = fopen(argv[argc - 1], "w");
  fprintf(out, "%.6f %.15g %.15g %.15g %.15g\\n", best, gram[0], gram[5], gram[100], gram[size - 1]);
  return fclose(out);
}
`;
