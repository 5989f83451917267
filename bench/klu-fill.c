/* Fill and work of KLU on a matrix of a given pattern, for bench/scaling.mjs.
   stdin: n, number of entries, then column starts and row indices (compressed columns). Values: 1 off the diagonal, enough on it that no row is exchanged.
   stdout, one JSON object: for each ordering the entries of L and U and the multiplications of one factorisation, and microseconds of a refactorisation. */
#include <klu.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static double now(void) {
  struct timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return 1e6 * t.tv_sec + 1e-3 * t.tv_nsec;
}

int main(void) {
  int n, entries;
  if (scanf("%d %d", &n, &entries) != 2) return 2;
  int *start = malloc((n + 1) * sizeof *start), *row = malloc(entries * sizeof *row);
  double *value = malloc(entries * sizeof *value);
  for (int i = 0; i <= n; i++)
    if (scanf("%d", start + i) != 1) return 2;
  for (int e = 0; e < entries; e++)
    if (scanf("%d", row + e) != 1) return 2;
  for (int j = 0; j < n; j++)
    for (int e = start[j]; e < start[j + 1]; e++) value[e] = row[e] == j ? 4.0 * n : 1;
  static const char *names[] = {"amd", "colamd"};
  printf("{");
  for (int ordering = 0; ordering < 2; ordering++) {
    klu_common common;
    klu_defaults(&common);
    common.ordering = ordering;
    klu_symbolic *symbolic = klu_analyze(n, start, row, &common);
    klu_numeric *numeric = symbolic ? klu_factor(start, row, value, symbolic, &common) : NULL;
    if (!numeric || !klu_flops(symbolic, numeric, &common)) return 3;
    double best = 1e300, until = now() + 2e5;
    do {
      double from = now();
      if (!klu_refactor(start, row, value, symbolic, numeric, &common)) return 3;
      double took = now() - from;
      if (took < best) best = took;
    } while (now() < until);
    /* its flops: two for each multiplication with its subtraction, one for each division */
    double divisions = numeric->lnz - n;
    printf("%s\"%s\": {\"entries\": %d, \"multiplications\": %.0f, \"blocks\": %d, \"us\": %.2f}", ordering ? ", " : "", names[ordering],
           numeric->lnz + numeric->unz - n + numeric->nzoff, (common.flops - divisions) / 2, symbolic->nblocks, best);
    klu_free_numeric(&numeric, &common);
    klu_free_symbolic(&symbolic, &common);
  }
  printf("}\n");
  return 0;
}
