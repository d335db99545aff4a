/* The only file that knows LAPACK and BLAS. */
#include "mechanics/algebra.h"

#include <dlfcn.h>
#include <errno.h>
#include <string.h>

static bool find_routine(void *library, const char *name, void *routine) {
    void *found = dlsym(library, name);
    if (found == NULL) return false;
    memcpy(routine, &found, sizeof found); /* ISO C has no conversion between the two */
    return true;
}

bool algebra_load(struct algebra *algebra) {
    errno = 0;
    void *library = dlopen(LAPACK_LIBRARY, RTLD_LAZY | RTLD_LOCAL | RTLD_NODELETE);
    if (library == NULL) return false;
    bool found = find_routine(library, "dpbtrf_", &algebra->dpbtrf) &&
                 find_routine(library, "dtrsv_", &algebra->dtrsv) &&
                 find_routine(library, "dgesv_", &algebra->dgesv);
    dlclose(library);
    return found;
}

bool band_factor(const struct algebra *algebra, double *band, int size, int width) {
    int stride = width + 1, info = 0;
    algebra->dpbtrf("L", &size, &width, band, &stride, &info, 1);
    return info == 0;
}

void add_times(double *restrict to, double factor, const double *restrict from, size_t count) {
    for (size_t i = 0; i < count; i++)
        to[i] += factor * from[i];
}

static void divide(double *row, double divisor, size_t count) {
    double factor = 1 / divisor;
    for (size_t i = 0; i < count; i++)
        row[i] *= factor;
}

void band_solve(const double *band, int size, int width, double *rows, int sides) {
    size_t n = (size_t)size, w = (size_t)width, count = (size_t)sides, stride = w + 1;
    for (size_t j = 0; j < n; j++) {
        for (size_t k = 1; k <= w && k <= j; k++)
            add_times(rows + j * count, -band[(j - k) * stride + k], rows + (j - k) * count, count);
        divide(rows + j * count, band[j * stride], count);
    }
    for (size_t j = n; j-- > 0;) {
        for (size_t k = 1; k <= w && j + k < n; k++)
            add_times(rows + j * count, -band[j * stride + k], rows + (j + k) * count, count);
        divide(rows + j * count, band[j * stride], count);
    }
}

static void solve_triangle(const struct algebra *algebra, const char *transposed,
                           const double *upper, int stride, int size, double *side) {
    int step = 1;
    if (size > 0) algebra->dtrsv("U", transposed, "N", &size, upper, &stride, side, &step, 1, 1, 1);
}

void triangle_solve_transposed(const struct algebra *algebra, const double *upper, int stride,
                               int size, double *side) {
    solve_triangle(algebra, "T", upper, stride, size, side);
}

void triangle_solve(const struct algebra *algebra, const double *upper, int stride, int size,
                    double *side) {
    solve_triangle(algebra, "N", upper, stride, size, side);
}

bool square_solve(const struct algebra *algebra, double *matrix, int size, int *pivots,
                  double *sides, int side_count) {
    int info = 0;
    if (size > 0) algebra->dgesv(&size, &side_count, matrix, &size, pivots, sides, &size, &info);
    return info == 0;
}

double sum_of_products(const double *a, const double *b, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += a[i] * b[i];
    return sum;
}

void add_columns(double *restrict to, const double *restrict columns, size_t count,
                 const double *factors, int column_count) {
    int j = 0;
    for (; j + 4 <= column_count; j += 4) {
        const double *a = columns + (size_t)j * count, *b = a + count, *c = b + count,
                     *d = c + count;
        double fa = factors[j], fb = factors[j + 1], fc = factors[j + 2], fd = factors[j + 3];
        for (size_t i = 0; i < count; i++)
            to[i] += fa * a[i] + fb * b[i] + fc * c[i] + fd * d[i];
    }
    for (; j < column_count; j++)
        add_times(to, factors[j], columns + (size_t)j * count, count);
}
