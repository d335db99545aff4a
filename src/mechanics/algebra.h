/* Linear algebra on small and on banded matrices, by LAPACK and BLAS, which are loaded when they
 * are first asked for. Matrices stand column by column unless it is said. Nothing here takes
 * memory or holds anything open. */
#ifndef SELVAGE_MECHANICS_ALGEBRA_H
#define SELVAGE_MECHANICS_ALGEBRA_H

#include <stdbool.h>
#include <stddef.h>

/* The routines, with the length of each word behind the other arguments as Fortran passes them. */
struct algebra {
    void (*dpbtrf)(const char *half, const int *size, const int *width, double *band,
                   const int *stride, int *info, size_t);
    void (*dtrsv)(const char *half, const char *transposed, const char *diagonal, const int *size,
                  const double *matrix, const int *stride, double *side, const int *step, size_t,
                  size_t, size_t);
    void (*dgesv)(const int *size, const int *sides, double *matrix, const int *stride, int *pivots,
                  double *side, const int *side_stride, int *info);
};

/* False where the library is not installed; or, with errno ENOMEM, where there is no memory to load
 * it. */
bool algebra_load(struct algebra *algebra);

/* The Cholesky factor of a symmetric banded matrix in its own place: `band` holds for each column
 * the diagonal and `width` elements below it. False where it is not positive definite. */
bool band_factor(const struct algebra *algebra, double *band, int size, int width);

/* Solves with such a factor for many right-hand sides at once. Here they stand row by row,
 * `sides` numbers to a row, so that what is done to a row is done to all of them in one go. */
void band_solve(const double *band, int size, int width, double *rows, int sides);

/* Solves U'x = b or Ux = b in the place of b, for a triangle U above the diagonal. */
void triangle_solve_transposed(const struct algebra *algebra, const double *upper, int stride,
                               int size, double *side);
void triangle_solve(const struct algebra *algebra, const double *upper, int stride, int size,
                    double *side);

/* Solves any square system with elimination, in the place of the right-hand sides; the matrix is
 * used up, `pivots` has room for `size`. False where it is singular. */
bool square_solve(const struct algebra *algebra, double *matrix, int size, int *pivots,
                  double *sides, int side_count);

/* to += factor * from, and the sum of products. */
void add_times(double *restrict to, double factor, const double *restrict from, size_t count);
double sum_of_products(const double *a, const double *b, size_t count);

/* to[i] += sum over j of factors[j] * columns[j * count + i]. */
void add_columns(double *restrict to, const double *restrict columns, size_t count,
                 const double *factors, int column_count);

#endif
