/* Round numbers. */
#include "emit/ticks.h"

#include <math.h>

/* As many decimals as a step has. */
static int decimals_of(double step) {
    int decimals = 0;
    for (double at = step; decimals < 6 && fabs(at - round(at)) > 1e-6; at *= 10)
        decimals++;
    return decimals;
}

struct ticks ticks_over(double least, double most, int most_steps, enum tick_steps steps) {
    static const double plain[] = {1, 2, 5, 0}, fine[] = {1, 1.5, 2, 2.5, 3, 4, 5, 0};
    const double *sizes = steps == STEPS_FINE ? fine : plain;
    const double slip = 1e-9;
    double size_of_all = fmax(fabs(least), fabs(most)); /* finer steps would tell nothing */
    double finest = fmax((most - least) / most_steps, fmax(size_of_all * 1e-3, 1e-6));
    double ten = pow(10, floor(log10(finest)) - 1);
    for (;; ten *= 10)
        for (const double *size = sizes; *size > 0; size++) {
            double step = *size * ten;
            double first = floor(least / step + slip), last = ceil(most / step - slip);
            if (last <= first) last = first + 1;
            if (last - first > most_steps || step < finest * (1 - slip)) continue;
            return (struct ticks){step, (int)first, (int)(last - first) + 1, decimals_of(step)};
        }
}
