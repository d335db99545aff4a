/* One job, or two on the same frame, under values that are not known well: what comes of each over
 * all combinations of them, and whether what tells two jobs apart is the same everywhere. */
#ifndef SELVAGE_MECHANICS_SWEEP_H
#define SELVAGE_MECHANICS_SWEEP_H

#include "mechanics/job.h"

enum { MOST_CHOICES = 4 }; /* of a value */

/* Factors on a value; `nominal` is the number of the one that is taken where one is wanted. */
struct choices {
    const double *factors;
    int count, nominal;
};

struct grid {
    struct choices hoop;   /* on E I and E A alike */
    struct choices throat; /* the throat's factor itself, not a factor on it */
    const double *bending; /* E I by choice of throat, before the hoop's factor */
    struct choices string; /* on E A of every string */
    int mount_count, nominal_mount;
};

enum mount_known { MOUNT_NOT_KNOWN, MOUNT_PLACES_KNOWN, MOUNT_KNOWN };

/* What of it is known, so that it is not varied. */
struct known_values {
    bool hoop, throat, string;
    enum mount_known mount;
};

/* From half to twice for the hoop, 1, 2 and 4 for the throat, from 0.7 to twice for strings, and of
 * mounts those of usual_mounts: 144 sets where nothing is known. `bending` is the same for every
 * throat. */
struct grid usual_grid(struct hoop_stiffness stiffness, struct known_values known,
                       struct arena *arena);

/* A mount with a quarter of its stiffness, as it is, and with five times as much; where it is not
 * known at all two points besides, where it is known well just as it is. As many as in the grid. */
const struct supports *usual_mounts(struct supports mount, enum mount_known known,
                                    struct arena *arena);

/* How even mains and crosses are, on the machine after the last pull and off it: in N, by
 * evenness_figure. Then what the hoop goes through. */
enum evenness_part {
    EVENNESS_MEAN,
    EVENNESS_DEVIATION,
    EVENNESS_LEAST,
    EVENNESS_MOST,
    EVENNESS_PARTS
};

enum figure {
    FIGURE_WIDTH_PEAK = 4 * EVENNESS_PARTS, /* farthest from nought on the machine, mm */
    FIGURE_LENGTH_PEAK,
    FIGURE_MOMENT_PEAK, /* N mm, without its sign */
    FIGURE_FORCE,       /* the largest of a support, N */
    FIGURE_WIDTH,       /* change off the machine, mm */
    FIGURE_LENGTH,
    FIGURES
};

static inline int evenness_figure(enum kind kind, bool off_machine, enum evenness_part part) {
    return ((kind == CROSS ? 2 : 0) + (off_machine ? 1 : 0)) * EVENNESS_PARTS + (int)part;
}

struct range {
    double least, nominal, most;
};

/* A job, and what it is done with. */
struct swept {
    struct job job;
    const double *string_axial;    /* E A by strand, N, before the grid's factors */
    const struct supports *mounts; /* by the grid's number */
};

enum { MOST_SWEPT = 2 };

struct sweep {
    int sets;
    struct range figures[MOST_SWEPT][FIGURES];
    struct range *on_machine[MOST_SWEPT], *off_machine[MOST_SWEPT]; /* tensions by strand, N */
    struct range difference[FIGURES]; /* second less first; two jobs only */
    bool differs[FIGURES]; /* the same one is larger in every set, by more than rounding */
    bool sound;            /* every set could be worked out */
};

/* Of E A of the hoop `axial` goes with every bending stiffness. */
const struct sweep *sweep_jobs(const struct frame *frame, double axial, const struct grid *grid,
                               const struct swept *jobs, int job_count,
                               const struct algebra *algebra, struct arena *arena);

#endif
