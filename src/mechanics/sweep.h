/* One job, or two on the same frame, under values that are not known well: what comes of each over
 * all combinations of them, and whether what tells two jobs apart is the same everywhere. */
#ifndef SELVAGE_MECHANICS_SWEEP_H
#define SELVAGE_MECHANICS_SWEEP_H

#include "mechanics/job.h"
#include "mechanics/values.h"

/* Factors on a value; `nominal` is the number of the one that is taken where one is wanted. */
struct choices {
    const double *factors;
    int count, nominal;
};

struct grid {
    struct choices hoop;   /* on E I and E A alike */
    struct choices throat; /* the throat's factor itself, not a factor on it */
    struct choices string; /* on E A of every string */
    const struct mount *mounts;
    int mount_count, nominal_mount;
};

/* What of it is known, so that it is not varied. */
struct known_values {
    bool hoop, throat, string, mount; /* of a mount: where it bears */
};

/* From half to twice for the hoop, 1, 2 and 4 for the throat, from 0.7 to twice for strings; the
 * mount of `values` as it is and with supports of 500 and 10000 N/mm, and two points at 2000 N/mm
 * where it is not known to be another: 144 sets where nothing is known. */
struct grid usual_grid(const struct values *values, struct known_values known, struct arena *arena);

enum figure {
    FIGURE_MAINS_MEAN, /* off the machine, N */
    FIGURE_MAINS_DEVIATION,
    FIGURE_CROSSES_MEAN,
    FIGURE_CROSSES_DEVIATION,
    FIGURE_LEAST, /* the least tension of all off the machine, N */
    FIGURE_MOST,
    FIGURE_WIDTH_PEAK, /* the largest change on the machine, without its sign, mm */
    FIGURE_LENGTH_PEAK,
    FIGURE_MOMENT_PEAK, /* N mm, without its sign */
    FIGURE_FORCE,       /* of a support after the last pull, N */
    FIGURE_WIDTH,       /* change off the machine, mm */
    FIGURE_LENGTH,
    FIGURES
};

struct range {
    double least, nominal, most;
};

struct sweep {
    int sets;
    struct range figures[2][FIGURES];
    struct range difference[FIGURES]; /* second less first; two jobs only */
    bool differs[FIGURES]; /* the same one is larger in every set, by more than rounding */
    bool sound;            /* every set could be worked out */
};

/* `values` says what the factors are of; the mounts are those of the grid. */
const struct sweep *sweep_jobs(const struct frame *frame, const struct values *values,
                               const struct grid *grid, const struct job *jobs, int job_count,
                               const struct algebra *algebra, struct arena *arena);

#endif
