/* From a planned pattern to what its frame feels: values with where they come from, the job, the
 * ranges. */
#include "mechanics/bed.h"

#include "ground/output.h"
#include "mechanics/events.h"
#include "mechanics/squeeze.h"

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

const char *squeeze_room(const struct frame *frame, struct arena *arena) {
    struct algebra algebra;
    if (!algebra_load(&algebra)) return NULL;
    const struct hoop *bare = hoop_of(frame, NULL, 0, LONGEST_ELEMENT_MM, arena);
    double least = INFINITY, most = 0;
    for (double throat = LEAST_THROAT; throat <= MOST_THROAT; throat *= 2) {
        struct hoop_stiffness stiffness = {assumed_bending(frame->sport), ASSUMED_AXIAL, throat};
        struct squeezes squeezes = {frame->squeeze_wide, 0};
        if (fit_squeezes(bare, squeezes, &stiffness, &algebra, arena) != SQUEEZE_FITS ||
            !squeezes_of(bare, stiffness, &algebra, arena, &squeezes))
            return NULL;
        least = fmin(least, squeezes.lengthwise);
        most = fmax(most, squeezes.lengthwise);
    }
    return format(arena, "%s N per mm wide go with %s to %s N per mm long",
                  format_decimal(arena, frame->squeeze_wide, 2),
                  format_decimal(arena, ceil(least), 0), format_decimal(arena, floor(most), 0));
}

/* ---- values ---- */

__attribute__((format(printf, 5, 6))) static void add_fact(struct bed *bed, struct arena *arena,
                                                           const char *what, bool assumed,
                                                           const char *words, ...) {
    va_list list;
    va_start(list, words);
    *array_add(arena, &bed->facts) =
        (struct bed_fact){what, format_list(arena, words, list), assumed};
    va_end(list);
}

static const char *shown(struct arena *arena, double value, int decimals) {
    return format_decimal(arena, value, decimals);
}

static enum bed_fault set_hoop(struct bed *bed, struct arena *arena) {
    const struct frame *frame = bed->pattern->frame;
    struct hoop_stiffness *stiffness = &bed->values.hoop;
    *stiffness =
        (struct hoop_stiffness){assumed_bending(frame->sport), ASSUMED_AXIAL, ASSUMED_THROAT};
    bed->known.hoop = frame->squeeze_wide > 0;
    bed->known.throat = frame->squeeze_long > 0;
    if (bed->known.hoop) {
        const struct hoop *bare = hoop_of(frame, NULL, 0, LONGEST_ELEMENT_MM, arena);
        struct squeezes measured = {frame->squeeze_wide, frame->squeeze_long};
        switch (fit_squeezes(bare, measured, stiffness, &bed->algebra, arena)) {
        case SQUEEZE_FITS: break;
        case SQUEEZE_TOO_STIFF: return BED_SQUEEZE_TOO_STIFF;
        case SQUEEZE_NO_THROAT: return BED_SQUEEZE_NO_THROAT;
        case SQUEEZE_CANNOT_BE_SOLVED: return BED_UNSOUND;
        }
    }
    const char *bending = shown(arena, stiffness->bending * 1e-6, 1);
    if (bed->known.hoop)
        add_fact(bed, arena, "hoop.bending", false,
                 "E I of the hoop in its plane %s N m2, by squeeze %s N per mm", bending,
                 shown(arena, frame->squeeze_wide, 2));
    else
        add_fact(bed, arena, "hoop.bending", true, "E I of the hoop in its plane %s N m2", bending);
    add_fact(bed, arena, "hoop.axial", true, "E A of the hoop %s MN",
             shown(arena, stiffness->axial * 1e-6, 2));
    const char *factor = shown(arena, stiffness->throat, 2);
    if (bed->known.throat)
        add_fact(bed, arena, "hoop.throat", false,
                 "from the last cross round the throat %s times as stiff, by squeeze %s N per mm "
                 "long",
                 factor, shown(arena, frame->squeeze_long, 2));
    else
        add_fact(bed, arena, "hoop.throat", true,
                 "from the last cross round the throat %s times as stiff", factor);
    return BED_SOUND;
}

static void set_strings(struct bed *bed, struct arena *arena) {
    static const char *const of[] = {"", " in the mains", " in the crosses"};
    const struct pattern *pattern = bed->pattern;
    double *axial = arena_many(arena, double, pattern->frame->strand_count + 1);
    bed->known.string = true;
    struct stiffness pieces[2];
    for (int i = 0; i < pattern->string_count; i++) {
        const struct string_piece *piece = &pattern->pieces[i];
        pieces[i] = stiffness_of(piece->string, piece->gauge);
        bool assumed = pieces[i].from != STIFFNESS_WRITTEN;
        bed->known.string &= !assumed;
        bool alike =
            pattern->string_count == 1 || (pattern->pieces[0].string == pattern->pieces[1].string);
        if (alike && i > 0) continue;
        add_fact(bed, arena, "string.stiffness", assumed, "E A of the string%s %s kN",
                 of[alike ? 0 : i + 1], shown(arena, pieces[i].newton * 1e-3, 2));
    }
    for (int s = 0; s < pattern->frame->strand_count; s++)
        axial[s] = pieces[pattern->ends[pattern->end_of[s]].string].newton;
    bed->values.string_axial = axial;
}

static void set_mount(struct bed *bed, struct arena *arena) {
    const struct bench *bench = bed->pattern->bench;
    struct mount mount = bench->bearing;
    bool places_known = mount.points != NULL;
    bool stiffness_known = mount.stiffness > 0;
    if (!places_known) mount.points = mount_of(MOUNT_SIX_POINT).points;
    if (!places_known) mount.point_count = mount_of(MOUNT_SIX_POINT).point_count;
    double stiffness = stiffness_known ? mount.stiffness : ASSUMED_SUPPORT;
    bed->values.mount = supports_of(mount, stiffness, arena);
    bed->known.mount = !places_known     ? MOUNT_NOT_KNOWN
                       : stiffness_known ? MOUNT_KNOWN
                                         : MOUNT_PLACES_KNOWN;
    if (mount.kind == MOUNT_UNKNOWN)
        add_fact(bed, arena, "bench.mount", true, "mount %s, for %s is not known",
                 mount_word(MOUNT_SIX_POINT), bench->mount);
    else
        add_fact(bed, arena, "bench.mount", !places_known, "mount %s",
                 places_known ? bench->mount : mount_word(MOUNT_SIX_POINT));
    add_fact(bed, arena, "bench.mount_stiffness", !stiffness_known,
             "each of its points gives way by 1 mm to %s N", shown(arena, stiffness, 0));
    bed->draw_back = bench->draw_back_given ? bench->draw_back : ASSUMED_DRAW_BACK;
    add_fact(bed, arena, "bench.draw_back", !bench->draw_back_given,
             "a clamp gives back %s mm of the string it takes over",
             shown(arena, bed->draw_back, 2));
}

/* ---- one side far ahead ---- */

static bool is_sided_main(const struct strand *strand) {
    return strand->kind == MAIN && strand->side != SIDE_CENTRE;
}

/* The first pulls of the mains of the sides, in order. */
static int list_mains(const struct bed *bed, int *strands, struct arena *arena) {
    const struct frame *frame = bed->pattern->frame;
    bool *seen = arena_many(arena, bool, frame->strand_count + 1);
    int count = 0;
    for (int i = 0; i < bed->job.count; i++) {
        const struct event *event = &bed->job.events[i];
        bool first = event->kind == EVENT_PULL && !seen[event->strand];
        if (!first || !is_sided_main(&frame->strands[event->strand])) continue;
        seen[event->strand] = true;
        strands[count++] = event->strand;
    }
    return count;
}

static int nth_of_side(const struct frame *frame, const int *strands, int count, enum side side,
                       int nth) {
    for (int i = 0; i < count; i++)
        if (frame->strands[strands[i]].side == side && nth-- == 0) return strands[i];
    return NO_STRAND;
}

/* The same mains, those of a side in the same order, with neither side ahead by more than is worth
 * telling as long as the other has any. */
static void put_in_turn(const struct frame *frame, const int *strands, int count, int *in_turn) {
    int pulled[2] = {0, 0}; /* left, right */
    for (int i = 0; i < count; i++) {
        int side = frame->strands[strands[i]].side == SIDE_LEFT ? 0 : 1;
        bool far = pulled[side] + 1 - pulled[1 - side] > LEAD_WORTH_TELLING;
        int next[2];
        for (int s = 0; s < 2; s++)
            next[s] =
                nth_of_side(frame, strands, count, s == 0 ? SIDE_LEFT : SIDE_RIGHT, pulled[s]);
        if ((far && next[1 - side] != NO_STRAND) || next[side] == NO_STRAND) side = 1 - side;
        in_turn[i] = next[side];
        pulled[side]++;
    }
}

/* The job with other mains in the places of the first ones. */
static struct job job_with(const struct bed *bed, const int *strands, const int *instead, int count,
                           struct arena *arena) {
    int all = bed->pattern->frame->strand_count;
    int *stands_in = arena_many(arena, int, all + 1);
    double *pulls = arena_many(arena, double, all + 1);
    for (int s = 0; s < all; s++)
        stands_in[s] = s;
    for (int i = 0; i < count; i++)
        stands_in[strands[i]] = instead[i];
    struct event *events = arena_many(arena, struct event, bed->job.count + 1);
    for (int i = 0; i < bed->job.count; i++)
        if (bed->job.events[i].kind == EVENT_PULL)
            pulls[bed->job.events[i].strand] = bed->job.events[i].amount;
    for (int i = 0; i < bed->job.count; i++) {
        events[i] = bed->job.events[i];
        events[i].strand = stands_in[events[i].strand];
        if (events[i].kind == EVENT_PULL) events[i].amount = pulls[events[i].strand];
    }
    return (struct job){events, bed->job.count};
}

/* Notes the pulls that are far ahead, and makes the job in turn; false where there are none. */
static bool look_for_leads(struct bed *bed, struct job *in_turn, struct arena *arena) {
    const struct frame *frame = bed->pattern->frame;
    int *strands = arena_many(arena, int, frame->strand_count + 1);
    int *instead = arena_many(arena, int, frame->strand_count + 1);
    int count = list_mains(bed, strands, arena), pulled[2] = {0, 0}, next = 0;
    for (int i = 0; i < bed->job.count && next < count; i++) {
        const struct event *event = &bed->job.events[i];
        if (event->kind != EVENT_PULL || event->strand != strands[next]) continue;
        next++;
        int side = frame->strands[event->strand].side == SIDE_LEFT ? 0 : 1;
        int lead = ++pulled[side] - pulled[1 - side];
        if (lead > LEAD_WORTH_TELLING)
            *array_add(arena, &bed->far_ahead) = (struct far_ahead){.event = i, .lead = lead};
    }
    if (bed->far_ahead.count == 0) return false;
    put_in_turn(frame, strands, count, instead);
    *in_turn = job_with(bed, strands, instead, count, arena);
    return true;
}

/* ---- the whole ---- */

/* What was measured is right to within so much, up or down: a scale and a dial gauge. Assumed. */
static const double MEASURED[] = {0.95, 1, 1.05};
static const double THROATS[] = {1, 2, 4}; /* where nothing of it was measured */
enum { CHOICES = 3 };

/* The hoop that takes these squeezes; where no throat does, the one that comes nearest. */
static bool fit_nearly(const struct bed *bed, const struct hoop *bare, struct squeezes measured,
                       struct hoop_stiffness *stiffness, struct arena *arena) {
    enum squeeze_fit fit = fit_squeezes(bare, measured, stiffness, &bed->algebra, arena);
    if (fit != SQUEEZE_NO_THROAT) return fit == SQUEEZE_FITS;
    static const double ends[] = {LEAST_THROAT, MOST_THROAT};
    double lacks[2];
    struct hoop_stiffness fits[2];
    for (int i = 0; i < 2; i++) {
        struct squeezes got, wide = {measured.wide, 0};
        fits[i] = *stiffness;
        fits[i].throat = ends[i];
        if (fit_squeezes(bare, wide, &fits[i], &bed->algebra, arena) != SQUEEZE_FITS ||
            !squeezes_of(bare, fits[i], &bed->algebra, arena, &got))
            return false;
        lacks[i] = fabs(got.lengthwise - measured.lengthwise);
    }
    *stiffness = fits[lacks[0] <= lacks[1] ? 0 : 1];
    return true;
}

/* What was measured is varied a little, and what follows from it; what was not, much. */
static bool set_hoops(struct bed *bed, struct arena *arena) {
    const struct frame *frame = bed->pattern->frame;
    vary_hoop(&bed->grid, bed->values.hoop, arena);
    if (!bed->known.hoop) return true;
    struct hoop_stiffness *hoops = arena_many(arena, struct hoop_stiffness, HOOPS);
    const struct hoop *bare = hoop_of(frame, NULL, 0, LONGEST_ELEMENT_MM, arena);
    for (int w = 0; w < CHOICES; w++)
        for (int l = 0; l < CHOICES; l++) {
            struct squeezes measured = {frame->squeeze_wide * MEASURED[w],
                                        frame->squeeze_long * MEASURED[l]};
            struct hoop_stiffness *stiffness = &hoops[w * CHOICES + l];
            *stiffness = bed->values.hoop;
            if (!bed->known.throat) stiffness->throat = THROATS[l];
            if (!fit_nearly(bed, bare, measured, stiffness, arena)) return false;
        }
    bed->grid.hoops = hoops;
    return true;
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
    if (of == NULL) return set_hoop(bed, arena);
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
    if (hoop_from == NULL) return set_hoops(bed, arena) ? BED_SOUND : BED_UNSOUND;
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
    set_strings(bed, arena);
    set_mount(bed, arena);
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
    struct event *events = arena_many(arena, struct event, bed->job.count + 1);
    for (int i = 0; i < bed->job.count; i++) {
        events[i] = bed->job.events[i];
        if (events[i].kind == EVENT_PULL) events[i].amount = bed->even->rounded[events[i].strand];
    }
    struct job job = {events, bed->job.count};
    bed->even_sweep = sweep_beside(bed, bed->job, &job, arena);
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

int event_of_move(const struct bed *bed, int move) {
    for (int i = 0; i < bed->job.count; i++)
        if (bed->job.events[i].move == move) return i;
    return NO_EVENT;
}

/* Both ends of the centre line are nodes of their own. */
enum place middle_at_node(const struct bed *bed, int node) {
    double arc = bed->compliance->hoop->arcs[node];
    if (arc == 0) return PLACE_HEAD;
    return arc == bed->pattern->frame->outline.half_arc ? PLACE_THROAT : PLACE_UNSAID;
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
