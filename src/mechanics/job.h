/* A job as what it does to the frame: strands are pulled one after another, each then a spring
 * between its two holes, while the machine's supports push against the hoop; at the end they are
 * taken away. Small displacements. A strand that would have to push goes slack, a support that
 * would have to pull loses touch. Left out: what string loses over time, friction, crimp at the
 * crossings, bending out of the plane, what knots give back. */
#ifndef SELVAGE_MECHANICS_JOB_H
#define SELVAGE_MECHANICS_JOB_H

#include "mechanics/compliance.h"

/* EVENT_PULL: to so many N, and held there by a clamp that gives nothing back; a strand that was
 * pulled before is let go first. EVENT_DRAW_BACK: a held strand is let back by so many mm, as a
 * clamp does that gives way when it takes over. */
enum event_kind { EVENT_PULL, EVENT_DRAW_BACK };

enum { NO_MOVE = -1, NO_EVENT = -1 };

struct event {
    enum event_kind kind;
    int strand;
    double amount; /* N or mm */
    int move;      /* of the pattern; NO_MOVE */
};

struct job {
    const struct event *events;
    int count;
};

/* What a job is done with. The supports of the mount have to be among those of the hoop. */
struct machine {
    const struct compliance *compliance; /* with its moments */
    const double *string_axial;          /* E A by strand, N */
    struct supports mount;
    const struct algebra *algebra;
};

/* The bed and the hoop at one moment. */
struct state {
    double *tensions;     /* by strand, N; 0 where it is not strung or slack */
    double *forces;       /* by support of the mount, N, never less than 0 */
    double width, length; /* how much the hoop is wider at its widest, longer from head to throat
                             than before the first pull, mm */
    double moment;        /* the largest of the hoop by size, N mm, signed as in compliance.h ... */
    int moment_node;      /* ... and where */
    double *moments;      /* by node; NULL in the light form */
    double *shifts; /* by node, FREEDOMS each, as in compliance.h; NULL in the light form and where
                       the compliance has none */
    int slack;      /* strands that were pulled and have no tension left */
};

/* What is farthest from nought over all events, with its sign, and when. */
struct peak {
    double value;
    int event, node; /* NO_EVENT where nothing was done */
};

struct outcome {
    struct state *after; /* by event, on the machine; NULL in the light form */
    int event_count;
    struct state on_machine; /* after the last event */
    struct state off_machine;
    struct peak widest, narrowest, longest, shortest; /* on the machine, from nought on */
    struct peak moment;                               /* the same, without regard to its sign */
    struct peak force; /* of a support; its number in place of a node */
    int most_slack;    /* strands without tension at one time */
    bool *contact;     /* by event and then off the machine: of each strand whether it is no slack
                          spring, of each support whether it is in touch */
    bool sound;        /* false: what touches what did not settle, the figures are no good */
};

enum report_form { REPORT_ENDS, REPORT_ALL };

const struct outcome *do_job(const struct machine *machine, struct job job, enum report_form form,
                             struct arena *arena);

/* The same in the light form where what touches what is as it was in another outcome of the same
 * events: everything is then linear in the pulls, and a strand may push. */
const struct outcome *do_job_in_contact(const struct machine *machine, struct job job,
                                        const bool *contact, struct arena *arena);

#endif
