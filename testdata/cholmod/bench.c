/* Times SuiteSparse CHOLMOD (supernodal, OpenBLAS) on a system written in
 * Matrix Market form (lower triangle), as a baseline for package sparse.
 *
 * Build: cc -O2 -o bench bench.c -I/usr/include/suitesparse -lcholmod -lopenblas -lm
 * Run:   OPENBLAS_NUM_THREADS=1 OMP_NUM_THREADS=1 ./bench FILE SIDES REPEATS [default|amd|metis ...]
 *
 * Prints one line per ordering:
 *   cholmod/NAME analyse_ns factorise_ns solve_ns cpu_ns nnz_l flops residual
 * each the median over REPEATS: wall-clock time of the three phases, solve for
 * all SIDES together, and processor time of all three, which other work on the
 * machine disturbs less.
 */
#include <cholmod.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double clock_ns(clockid_t id) {
    struct timespec t;
    clock_gettime(id, &t);
    return 1e9 * (double)t.tv_sec + (double)t.tv_nsec;
}

static int ascending(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median(double *t, int n) {
    qsort(t, (size_t)n, sizeof *t, ascending);
    return t[n / 2];
}

static void setup(cholmod_common *c, const char *name) {
    if (!strcmp(name, "amd") || !strcmp(name, "metis")) {
        c->nmethods = 1;
        c->method[0].ordering = strcmp(name, "amd") ? CHOLMOD_METIS : CHOLMOD_AMD;
        c->postorder = 1;
    }
    c->supernodal = CHOLMOD_SUPERNODAL;
}

int main(int argc, char **argv) {
    if (argc < 4) {
        fprintf(stderr, "usage: bench FILE SIDES REPEATS [default|amd|metis ...]\n");
        return 2;
    }
    int sides = atoi(argv[2]), repeats = atoi(argv[3]);
    FILE *in = fopen(argv[1], "r");
    if (!in || sides < 1 || repeats < 1) {
        fprintf(stderr, "bench: cannot read %s, or a count below 1\n", argv[1]);
        return 2;
    }
    static const char *all[] = {"default", "amd", "metis"};
    int names = argc > 4 ? argc - 4 : 3;
    for (int i = 0; i < names; i++) {
        const char *name = argc > 4 ? argv[4 + i] : all[i];
        cholmod_common c;
        cholmod_start(&c);
        setup(&c, name);
        rewind(in);
        cholmod_sparse *a = cholmod_read_sparse(in, &c);
        if (!a || a->stype == 0) {
            fprintf(stderr, "bench: not a symmetric matrix\n");
            return 1;
        }
        cholmod_dense *b = cholmod_zeros(a->nrow, (size_t)sides, CHOLMOD_REAL, &c);
        double *bx = b->x;
        for (size_t k = 0; k < a->nrow * (size_t)sides; k++)
            bx[k] = 1.0 + (double)(k % 17) / 17.0;
        double *ta = malloc(4 * (size_t)repeats * sizeof *ta);
        double *tf = ta + repeats, *ts = tf + repeats, *tc = ts + repeats;
        double nnz = 0, flops = 0, residual = 0;
        for (int r = 0; r < repeats; r++) {
            double c0 = clock_ns(CLOCK_PROCESS_CPUTIME_ID), t0 = clock_ns(CLOCK_MONOTONIC);
            cholmod_factor *l = cholmod_analyze(a, &c);
            double t1 = clock_ns(CLOCK_MONOTONIC);
            cholmod_factorize(a, l, &c);
            double t2 = clock_ns(CLOCK_MONOTONIC);
            cholmod_dense *x = cholmod_solve(CHOLMOD_A, l, b, &c);
            double t3 = clock_ns(CLOCK_MONOTONIC);
            ta[r] = t1 - t0, tf[r] = t2 - t1, ts[r] = t3 - t2;
            tc[r] = clock_ns(CLOCK_PROCESS_CPUTIME_ID) - c0;
            if (c.status != CHOLMOD_OK || l->minor != a->nrow) {
                fprintf(stderr, "bench: factorisation failed\n");
                return 1;
            }
            nnz = c.lnz, flops = c.fl;
            double one[2] = {1, 0}, minus[2] = {-1, 0};
            cholmod_dense *left = cholmod_copy_dense(b, &c);
            cholmod_sdmult(a, 0, minus, one, x, left, &c);
            residual = cholmod_norm_dense(left, 0, &c) / cholmod_norm_dense(b, 0, &c);
            cholmod_free_dense(&left, &c);
            cholmod_free_dense(&x, &c);
            cholmod_free_factor(&l, &c);
        }
        printf("cholmod/%s %.0f %.0f %.0f %.0f %.0f %.0f %.2e\n", name, median(ta, repeats),
               median(tf, repeats), median(ts, repeats), median(tc, repeats), nnz, flops, residual);
        fflush(stdout);
        free(ta);
        cholmod_free_dense(&b, &c);
        cholmod_free_sparse(&a, &c);
        cholmod_finish(&c);
    }
    fclose(in);
    return 0;
}
