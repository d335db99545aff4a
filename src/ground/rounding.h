/* Numbers rounded so that those who add them up come to what stands beside them. */
#ifndef SELVAGE_GROUND_ROUNDING_H
#define SELVAGE_GROUND_ROUNDING_H

#include <stdint.h>

/* `count` values as whole numbers whose sum is `sum`, itself the sum of the values rounded in any
 * way: each is rounded down, and those with most left over are raised by one (largest remainder).
 * So none is off by one or more. Of equal remainders the first is raised. */
void round_to_sum(const double *values, int64_t *rounded, int count, int64_t sum);

#endif
