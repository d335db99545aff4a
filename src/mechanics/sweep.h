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
    const struct hoop_stiffness *hoops;
    int hoop_count, nominal_hoop;
    struct choices string; /* on E A of every string */
    int mount_count, nominal_mount;
};

enum mount_known { MOUNT_NOT_KNOWN, MOUNT_PLACES_KNOWN, MOUNT_KNOWN };

/* What of it is known, so that it is not varied. */
struct known_values {
    bool hoop, throat; /* measured: nearly known */
    bool string;
    enum mount_known mount;
};

enum { HOOPS = 9, THROAT_CHOICES = 3 };

/* Throats, where nothing is known of them. */
extern const double throat_choices[THROAT_CHOICES];

/* From 0.7 to twice for strings, and as many mounts as usual_mounts gives: with nine hoops 144 sets
 * where nothing is known. The hoops are to be set. */
struct grid usual_grid(struct known_values known);

/* A hoop of which nothing is known: from half to twice as stiff, each with 1, 2 and 4 for the
 * throat. */
void vary_hoop(struct grid *grid, struct hoop_stiffness stiffness, struct arena *arena);

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
    FIGURE_WIDEST = 4 * EVENNESS_PARTS, /* change on the machine at the most, mm, 0 at the least */
    FIGURE_NARROWEST,
    FIGURE_LONGEST,
    FIGURE_SHORTEST,
    FIGURE_MOMENT_PEAK, /* on the machine, N mm, without its sign */
    FIGURE_FORCE,       /* the largest of a support, N */
    FIGURE_WIDTH,       /* change off the machine, mm */
    FIGURE_LENGTH,
    FIGURE_MOMENT, /* off the machine */
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

enum { MOST_SWEPT = 2, NO_JOB = -1 };

struct sweep {
    int sets;
    struct range figures[MOST_SWEPT][FIGURES];
    struct range *on_machine[MOST_SWEPT], *off_machine[MOST_SWEPT]; /* tensions by strand, N */
    struct range difference[FIGURES]; /* second less first; two jobs only */
    bool differs[FIGURES]; /* the same one is larger in every set, by something that could count */
    int nearer[FIGURES]; /* the job that is nearer to nought in every set, by as much, or NO_JOB */
    bool sound;          /* every set could be worked out */
};

/* Less than this makes no difference, in N, mm, N mm: what reads the same in the usual units. */
#define NO_DIFFERENCE_N 0.25
#define NO_DIFFERENCE_MM 0.005
#define NO_DIFFERENCE_N_MM 50.0

double no_difference(int figure);

const struct sweep *sweep_jobs(const struct frame *frame, const struct grid *grid,
                               const struct swept *jobs, int job_count,
                               const struct algebra *algebra, struct arena *arena);

#endif
