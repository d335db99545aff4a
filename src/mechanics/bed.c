/* From a planned pattern to what its frame feels: the job, the ranges, even pulls, two beds. */
#include "mechanics/bed.h"

#include "mechanics/events.h"
#include "mechanics/given.h"
#include "mechanics/leads.h"

#include <errno.h>
#include <math.h>

const char *bed_fault_words(enum bed_fault fault) {
    switch (fault) {
    case BED_NO_LIBRARY:
        return "what the frame feels needs LAPACK (Debian package liblapack3), which is not "
               "installed";
    case BED_NO_TENSION: return "no tension is known to pull with: say tension in the pattern";
    case BED_SQUEEZE_TOO_STIFF:
        return "squeeze: no hoop of a racket is so stiff; measure again, the head bare and not "
               "mounted, at its widest";
    case BED_SQUEEZE_NO_THROAT:
        return "squeeze: no throat goes with both figures; measure again, or leave one out";
    case BED_UNSOUND:
        return "these values are too far apart to be worked with: look at squeeze, stiffness and "
               "mount";
    default: return "";
    }
}

static struct swept swept_of(const struct bed *bed, struct job job, enum mount_known known,
                             struct arena *arena) {
    return (struct swept){job, bed->values.string_axial,
                          usual_mounts(bed->values.mount, known, arena)};
}

/* A job over all sets of values, and another beside it; NULL: none. */
static const struct sweep *sweep_beside(const struct bed *bed, struct job job,
                                        const struct job *other, struct arena *arena) {
    struct swept swept[MOST_SWEPT] = {swept_of(bed, job, bed->known.mount, arena)};
    if (other != NULL) swept[1] = swept_of(bed, *other, bed->known.mount, arena);
    return sweep_jobs(bed->pattern->frame, &bed->grid, swept, other != NULL ? 2 : 1, &bed->algebra,
                      arena);
}

/* With the hoop of another bed, or its own where that is NULL. */
static enum bed_fault take_hoop(struct bed *bed, const struct bed *of, struct arena *arena) {
    if (of == NULL) return take_own_hoop(bed, arena);
    bed->values.hoop = of->values.hoop;
    bed->known.hoop = of->known.hoop;
    bed->known.throat = of->known.throat;
    return BED_SOUND;
}

static void take_hoops(struct grid *grid, const struct bed *of) {
    grid->hoops = of->grid.hoops;
    grid->hoop_count = of->grid.hoop_count;
    grid->nominal_hoop = of->grid.nominal_hoop;
}

static enum bed_fault work_out(struct bed *bed, const struct bed *hoop_from, struct arena *arena) {
    const struct frame *frame = bed->pattern->frame;
    const struct hoop *hoop = hoop_of(frame, &bed->values.mount, 1, LONGEST_ELEMENT_MM, arena);
    bed->compliance = compliance_of(hoop, bed->values.hoop, COMPLIANCE_MOMENTS | COMPLIANCE_SHIFTS,
                                    &bed->algebra, arena);
    if (bed->compliance == NULL) return BED_UNSOUND;
    struct machine machine = {bed->compliance, bed->values.string_axial, bed->values.mount,
                              &bed->algebra};
    bed->job = job_of(bed->pattern, bed->draw_back, arena);
    bed->outcome = do_job(&machine, bed->job, REPORT_ALL, arena);
    if (!bed->outcome->sound) return BED_UNSOUND;
    bed->grid = usual_grid(bed->known);
    if (hoop_from == NULL) return vary_own_hoop(bed, arena) ? BED_SOUND : BED_UNSOUND;
    take_hoops(&bed->grid, hoop_from);
    return BED_SOUND;
}

static enum bed_fault find_ranges(struct bed *bed, struct arena *arena) {
    struct job in_turn;
    bool far = look_for_leads(bed, &in_turn, arena);
    bed->sweep = sweep_beside(bed, bed->job, far ? &in_turn : NULL, arena);
    bool sound = bed->sweep->sound;
    for (size_t i = 0; i < bed->far_ahead.count; i++) {
        struct far_ahead *at = &bed->far_ahead.at[i];
        struct job then = {in_turn.events, at->event + 1};
        at->until_then =
            sweep_beside(bed, (struct job){bed->job.events, at->event + 1}, &then, arena);
        sound &= at->until_then->sound;
    }
    return sound ? BED_SOUND : BED_UNSOUND;
}

static bool has_tension(const struct pattern *pattern) {
    for (size_t i = 0; i < pattern->moves.count; i++)
        if (pattern->moves.at[i].kind == MOVE_PULL && pattern->moves.at[i].tension <= 0)
            return false;
    return true;
}

static struct bed *bed_at_values(const struct pattern *pattern, const struct bed *hoop_from,
                                 enum bed_fault *fault, struct arena *arena) {
    struct bed *bed = arena_one(arena, struct bed);
    bed->pattern = pattern;
    *fault = BED_NO_TENSION;
    if (!has_tension(pattern)) return NULL;
    *fault = BED_NO_LIBRARY;
    if (!algebra_load(&bed->algebra)) {
        if (errno == ENOMEM) arena_escape(arena);
        return NULL;
    }
    *fault = take_hoop(bed, hoop_from, arena);
    if (*fault != BED_SOUND) return NULL;
    take_strings(bed, arena);
    take_mount(bed, arena);
    *fault = work_out(bed, hoop_from, arena);
    return *fault == BED_SOUND ? bed : NULL;
}

const struct bed *bed_to_compare(const struct pattern *pattern, const struct bed *first,
                                 enum bed_fault *fault, struct arena *arena) {
    return bed_at_values(pattern, first, fault, arena);
}

const struct bed *bed_of(const struct pattern *pattern, enum bed_fault *fault,
                         struct arena *arena) {
    struct bed *bed = bed_at_values(pattern, NULL, fault, arena);
    if (bed != NULL) *fault = find_ranges(bed, arena);
    return *fault == BED_SOUND ? bed : NULL;
}

const struct bed *bed_with_even_pulls(const struct bed *from, struct arena *arena) {
    struct bed *bed = arena_one(arena, struct bed);
    *bed = *from;
    const struct pattern *pattern = bed->pattern;
    struct machine machine = {bed->compliance, bed->values.string_axial, bed->values.mount,
                              &bed->algebra};
    struct pull_limits limits = {tension_step(pattern, pull_unit(pattern, 0)),
                                 pattern->frame->least_tension, pattern->frame->most_tension};
    bed->even = even_pulls(&machine, bed->job, limits, arena);
    if (bed->even->result == EVEN_IMPOSSIBLE) return bed;
    struct event *events = arena_many(arena, struct event, bed->job.count + 1);
    for (int i = 0; i < bed->job.count; i++) {
        events[i] = bed->job.events[i];
        if (events[i].kind == EVENT_PULL) events[i].amount = bed->even->rounded[events[i].strand];
    }
    struct job job = {events, bed->job.count};
    const struct sweep *sweep = sweep_beside(bed, bed->job, &job, arena);
    if (sweep->sound) bed->even_sweep = sweep;
    return bed;
}

struct known_values known_of_both(const struct bed *a, const struct bed *b) {
    struct known_values known = a->known;
    known.string &= b->known.string;
    if (b->known.mount < known.mount) known.mount = b->known.mount;
    return known;
}

const struct sweep *compare_beds(const struct bed *a, const struct bed *b, struct arena *arena) {
    struct known_values known = known_of_both(a, b);
    struct grid grid = usual_grid(known);
    take_hoops(&grid, a);
    struct swept swept[MOST_SWEPT] = {swept_of(a, a->job, known.mount, arena),
                                      swept_of(b, b->job, known.mount, arena)};
    return sweep_jobs(a->pattern->frame, &grid, swept, 2, &a->algebra, arena);
}

/* ---- looking things up ---- */

bool is_new_peak(const struct bed *bed, int event) {
    double most = 0;
    for (int i = 0; i < event; i++)
        most = fmax(most, fabs(bed->outcome->after[i].moment));
    return fabs(bed->outcome->after[event].moment) > most;
}

enum place middle_at_node(const struct bed *bed, int node) {
    const struct hoop *hoop = bed->compliance->hoop;
    return node == hoop->head            ? PLACE_HEAD
           : node == hoop->throat_middle ? PLACE_THROAT
                                         : PLACE_UNSAID;
}

int hole_by_node(const struct bed *bed, int node) {
    const struct frame *frame = bed->pattern->frame;
    double arc = bed->compliance->hoop->arcs[node], whole = 2 * frame->outline.half_arc;
    int nearest = 0;
    double least = whole;
    for (int h = 0; h < frame->hole_count; h++) {
        double way = fabs(frame->holes[h].arc - arc);
        way = fmin(way, whole - way);
        if (way >= least) continue;
        nearest = h;
        least = way;
    }
    return nearest;
}
