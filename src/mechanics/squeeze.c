/* What gives way at the widest place is nearly in proportion to one over E I, and the rest, by
 * E A, nearly constant: secants on it are exact after a few steps. The throat's factor is bracketed
 * by factors of two, then narrowed down between. */
#include "mechanics/squeeze.h"

#include <math.h>

/* Strands play no part. */
static struct hoop without_strands(const struct hoop *hoop) {
    struct hoop bare = *hoop;
    bare.lines = hoop->lines + hoop->strand_count;
    bare.strand_count = 0;
    bare.line_count = GAUGES;
    bare.bearing_count = 0;
    return bare;
}

bool squeezes_of(const struct hoop *hoop, struct hoop_stiffness stiffness,
                 const struct algebra *algebra, struct arena *arena, struct squeezes *squeezes) {
    struct arena_mark mark = arena_mark(arena);
    struct hoop bare = without_strands(hoop);
    const struct compliance *c = compliance_of(&bare, stiffness, COMPLIANCE_BARE, algebra, arena);
    if (c != NULL)
        *squeezes = (struct squeezes){1 / gives(c, GAUGE_WIDTH, GAUGE_WIDTH),
                                      1 / gives(c, GAUGE_LENGTH, GAUGE_LENGTH)};
    arena_rewind(arena, mark);
    return c != NULL;
}

struct fit {
    const struct hoop *hoop;
    const struct algebra *algebra;
    struct arena *arena;
    struct squeezes measured, got;
    struct hoop_stiffness stiffness;
};

/* Finds the bending stiffness for the throat at hand. */
static enum squeeze_fit fit_bending(struct fit *fit) {
    enum { STEPS = 60 };
    static const double EXACT = 1e-13, STIFFEST = 1e14; /* N mm2 */
    double wanted = 1 / fit->measured.wide;
    double before = 0, before_gives = 0;
    for (int i = 0; i < STEPS; i++) {
        double slack = 1 / fit->stiffness.bending;
        if (!squeezes_of(fit->hoop, fit->stiffness, fit->algebra, fit->arena, &fit->got))
            return SQUEEZE_CANNOT_BE_SOLVED;
        double gives_way = 1 / fit->got.wide, lacks = wanted - gives_way;
        if (fabs(lacks) <= EXACT * wanted) return SQUEEZE_FITS;
        double slope =
            before != 0 ? (gives_way - before_gives) / (slack - before) : gives_way / slack;
        double next = slack + lacks / slope;
        if (fabs(next - slack) <= EXACT * slack) return SQUEEZE_FITS;
        if (slack < 1 / STIFFEST) return SQUEEZE_TOO_STIFF;
        if (!(next > slack / 100)) next = slack / 100;
        before = slack;
        before_gives = gives_way;
        fit->stiffness.bending = 1 / next;
    }
    return SQUEEZE_FITS; /* as near as rounding lets it come */
}

/* By how much too stiff the hoop is lengthwise, once it fits across. */
static enum squeeze_fit try_throat(struct fit *fit, double throat, double *too_stiff) {
    fit->stiffness.throat = throat;
    enum squeeze_fit found = fit_bending(fit);
    *too_stiff = fit->got.lengthwise - fit->measured.lengthwise;
    return found;
}

/* Between two throats, one too stiff and one too soft: false position on the logarithm, with the
 * weight of an end that stays halved (the Illinois method; Dowell and Jarratt 1971, from memory).
 */
static enum squeeze_fit narrow_down(struct fit *fit, double low, double at_low, double high,
                                    double at_high) {
    enum { STEPS = 60 };
    static const double EXACT = 1e-12;
    double from = log(low), to = log(high);
    int stayed = 0;
    for (int i = 0; i < STEPS && at_high != at_low; i++) {
        double next = (from * at_high - to * at_low) / (at_high - at_low), at_next;
        enum squeeze_fit found = try_throat(fit, exp(next), &at_next);
        if (found != SQUEEZE_FITS) return found;
        if (fabs(at_next) <= EXACT * fit->measured.lengthwise) break;
        if ((at_next <= 0) == (at_low <= 0)) {
            if (fabs(next - from) <= EXACT) break;
            from = next;
            at_low = at_next;
            if (stayed == 1) at_high /= 2;
            stayed = 1;
        } else {
            if (fabs(to - next) <= EXACT) break;
            to = next;
            at_high = at_next;
            if (stayed == 2) at_low /= 2;
            stayed = 2;
        }
    }
    return SQUEEZE_FITS;
}

static enum squeeze_fit fit_throat(struct fit *fit) {
    double low = LEAST_THROAT, at_low, at_high = 0;
    enum squeeze_fit found = try_throat(fit, low, &at_low);
    if (found != SQUEEZE_FITS) return found;
    for (double high = 2 * low; high <= MOST_THROAT; high *= 2) {
        found = try_throat(fit, high, &at_high);
        if (found != SQUEEZE_FITS) return found;
        if ((at_low <= 0) != (at_high <= 0)) return narrow_down(fit, low, at_low, high, at_high);
        low = high;
        at_low = at_high;
    }
    return SQUEEZE_NO_THROAT;
}

enum squeeze_fit fit_squeezes(const struct hoop *hoop, struct squeezes measured,
                              struct hoop_stiffness *stiffness, const struct algebra *algebra,
                              struct arena *arena) {
    struct fit fit = {hoop, algebra, arena, measured, {0, 0}, *stiffness};
    enum squeeze_fit found = measured.lengthwise > 0 ? fit_throat(&fit) : fit_bending(&fit);
    if (found == SQUEEZE_FITS) *stiffness = fit.stiffness;
    return found;
}
