/* Round numbers for an axis or for classes. */
#ifndef SELVAGE_EMIT_TICKS_H
#define SELVAGE_EMIT_TICKS_H

/* `count` numbers from (first + 0) * step on. */
struct ticks {
    double step;
    int first, count, decimals;
};

enum tick_steps {
    STEPS_PLAIN, /* 1, 2, 5 and their tens */
    STEPS_FINE   /* some between them too: as many steps as asked for, or not many fewer */
};

/* The smallest step with which `most_steps` reach from below `least` to above `most`. */
struct ticks ticks_over(double least, double most, int most_steps, enum tick_steps steps);

static inline double tick_at(struct ticks ticks, int tick) {
    return (ticks.first + tick) * ticks.step;
}

static inline double tick_last(struct ticks ticks) { return tick_at(ticks, ticks.count - 1); }

#endif
