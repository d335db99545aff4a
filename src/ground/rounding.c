/* Rounding to a given sum. */
#include "ground/rounding.h"

#include <math.h>

void round_to_sum(const double *values, int64_t *rounded, int count, int64_t sum) {
    for (int i = 0; i < count; i++) {
        rounded[i] = (int64_t)floor(values[i]);
        sum -= rounded[i];
    }
    for (int raised = 0; raised < count && sum > 0; raised++, sum--) {
        int most = -1;
        for (int i = 0; i < count; i++) {
            if ((double)rounded[i] > values[i]) continue; /* has its one */
            if (most < 0 || values[i] - (double)rounded[i] > values[most] - (double)rounded[most])
                most = i;
        }
        if (most < 0) return;
        rounded[most]++;
    }
}
