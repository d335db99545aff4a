/* What frame, strings and bench of a pattern give, what is assumed instead, and what is varied. */
#include "mechanics/given.h"

#include "ground/output.h"
#include "mechanics/squeeze.h"

#include <math.h>

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

enum bed_fault take_own_hoop(struct bed *bed, struct arena *arena) {
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

void take_strings(struct bed *bed, struct arena *arena) {
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

void take_mount(struct bed *bed, struct arena *arena) {
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

/* ---- what is varied ---- */

/* What was measured is right to within so much, up or down: a scale and a dial gauge. Assumed. */
static const double MEASURED[] = {0.95, 1, 1.05};
enum { CHOICES = sizeof MEASURED / sizeof *MEASURED };
_Static_assert(CHOICES *(int)THROAT_CHOICES == HOOPS, "as many hoops as are varied");

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
bool vary_own_hoop(struct bed *bed, struct arena *arena) {
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
            if (!bed->known.throat) stiffness->throat = throat_choices[l];
            if (!fit_nearly(bed, bare, measured, stiffness, arena)) return false;
        }
    bed->grid.hoops = hoops;
    return true;
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
