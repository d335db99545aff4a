/* What the frame feels, of two patterns side by side: every figure with its range, and their
 * difference with its own, over the same sets of values. Which has less is said only where that
 * holds in every set. */
#include "emit/compare.h"
#include "emit/felt.h"
#include "ground/units.h"

#include <math.h>
#include <string.h>

struct ranging {
    struct arena *arena;
    struct compared_beds *beds;
    const struct sweep *sweep;
    enum unit unit; /* of tensions, one for both */
};

/* ---- figures in words ---- */

/* Figures as they are shown: a force, or what is measured in `name`. */
struct scale {
    double factor;
    const char *name;
    int decimals;
    bool with_sign;
};

static struct scale scale_of(enum ranged_as as, enum unit unit) {
    switch (as) {
    case RANGED_CHANGE: return (struct scale){1, "mm", 2, true};
    case RANGED_MOMENT: return (struct scale){N_MM_PER_N_M, "N m", 1, false};
    default:
        return (struct scale){unit_factor(unit), unit_word(unit), unit == UNIT_KG ? 2 : 1, false};
    }
}

/* Large figures have fewer decimals, so that they keep to their column. */
static struct scale fit_scale(struct scale scale, struct range range) {
    double most = fmax(fabs(range.least), fabs(range.most)) / scale.factor;
    if (most >= 1000) scale.decimals = 0;
    if (most >= 10 && scale.decimals == 2 && scale.with_sign) scale.decimals = 1;
    return scale;
}

static const char *number(const struct ranging *r, struct scale scale, double value) {
    const char *words = signed_words(value / scale.factor, scale.decimals, r->arena);
    return words[0] == '+' && !scale.with_sign ? words + 1 : words;
}

/* "4.2 N (3.1 to 6)" */
static const char *range_words(const struct ranging *r, struct scale scale, struct range range) {
    const char *nominal = format(r->arena, "%s %s", number(r, scale, range.nominal), scale.name);
    return format(r->arena, "%s (%s to %s)", nominal, number(r, scale, range.least),
                  number(r, scale, range.most));
}

static const char *difference_words(const struct ranging *r, struct scale scale, struct range range,
                                    bool clear) {
    scale.with_sign = true;
    if (clear) return range_words(r, scale, range);
    return format(r->arena, "no clear difference (%s to %s %s)", number(r, scale, range.least),
                  number(r, scale, range.most), scale.name);
}

/* ---- rows ---- */

static void add_row(struct ranging *r, const char *key, const char *name, enum ranged_as as,
                    int figure, bool judged) {
    struct ranged_row *row = array_add(r->arena, &r->beds->rows);
    struct scale scale = scale_of(as, r->unit);
    *row = (struct ranged_row){
        .key = key, .name = name, .as = as, .difference = r->sweep->difference[figure]};
    for (int i = 0; i < COMPARED; i++) {
        row->values[i] = r->sweep->figures[i][figure];
        row->shown[i] = range_words(r, fit_scale(scale, row->values[i]), row->values[i]);
    }
    double least = no_difference(figure);
    bool alike = row->difference.least >= -least && row->difference.most <= least;
    row->clear = r->sweep->differs[figure];
    row->shown_difference =
        alike ? "no difference" : difference_words(r, scale, row->difference, row->clear);
    if (!judged) return;
    int nearer = r->sweep->nearer[figure];
    if (alike)
        row->less = LESS_NEITHER;
    else if (row->clear && nearer != NO_JOB)
        row->less = nearer == 0 ? LESS_A : LESS_B;
}

static void add_rows(struct ranging *r) {
    add_row(r, "mains_mean", "mains, mean", RANGED_FORCE,
            evenness_figure(MAIN, true, EVENNESS_MEAN), false);
    add_row(r, "mains_unlike", "  unlike by", RANGED_FORCE,
            evenness_figure(MAIN, true, EVENNESS_DEVIATION), true);
    add_row(r, "crosses_mean", "crosses, mean", RANGED_FORCE,
            evenness_figure(CROSS, true, EVENNESS_MEAN), false);
    add_row(r, "crosses_unlike", "  unlike by", RANGED_FORCE,
            evenness_figure(CROSS, true, EVENNESS_DEVIATION), true);
    add_row(r, "widest", "width, widest", RANGED_CHANGE, FIGURE_WIDEST, true);
    add_row(r, "narrowest", "  narrowest", RANGED_CHANGE, FIGURE_NARROWEST, true);
    add_row(r, "width", "  afterwards", RANGED_CHANGE, FIGURE_WIDTH, true);
    add_row(r, "longest", "length, longest", RANGED_CHANGE, FIGURE_LONGEST, true);
    add_row(r, "shortest", "  shortest", RANGED_CHANGE, FIGURE_SHORTEST, true);
    add_row(r, "length", "  afterwards", RANGED_CHANGE, FIGURE_LENGTH, true);
    add_row(r, "moment_peak", "bending, on the machine", RANGED_MOMENT, FIGURE_MOMENT_PEAK, true);
    add_row(r, "moment", "  afterwards", RANGED_MOMENT, FIGURE_MOMENT, true);
}

/* ---- what the ranges are over, and what is assumed ---- */

static const char *ranges_words(const struct ranging *r, struct known_values known) {
    return format(r->arena,
                  "In brackets: the least and the most over what is not known, the same for both: "
                  "%s.",
                  varied_words(known, r->sweep->sets, r->arena));
}

/* Both have the hoop of the first, which says so. */
static bool is_of_hoop(const struct bed_fact *fact) { return strncmp(fact->what, "hoop.", 5) == 0; }

static bool assumes(const struct bed *bed, const struct bed_fact *fact) {
    for (size_t i = 0; i < bed->facts.count; i++) {
        const struct bed_fact *own = &bed->facts.at[i];
        if (own->assumed && strcmp(own->what, fact->what) == 0 &&
            strcmp(own->words, fact->words) == 0)
            return true;
    }
    return false;
}

static void sort_assumed(struct ranging *r, const struct bed *const beds[COMPARED]) {
    for (int side = 0; side < COMPARED; side++)
        for (size_t i = 0; i < beds[side]->facts.count; i++) {
            const struct bed_fact *fact = &beds[side]->facts.at[i];
            bool shared = is_of_hoop(fact) || assumes(beds[1 - side], fact);
            if (!fact->assumed || (side == 1 && shared)) continue;
            if (shared)
                *array_add(r->arena, &r->beds->both) = fact->words;
            else
                *array_add(r->arena, &r->beds->own[side]) = fact->words;
        }
}

static void put_assumed(struct output *out, const char *whose, const char *const *words,
                        size_t count) {
    for (size_t i = 0; i < count; i++)
        put_format(out, "%s%s", i > 0 ? "; " : whose, words[i]);
    if (count > 0) put(out, ". ");
}

static const char *assumed_words(const struct ranging *r) {
    const struct compared_beds *beds = r->beds;
    struct output out = output_to(r->arena);
    put_assumed(&out, "Assumed for both: ", beds->both.at, beds->both.count);
    put_assumed(&out, "Assumed for A: ", beds->own[0].at, beds->own[0].count);
    put_assumed(&out, "Assumed for B: ", beds->own[1].at, beds->own[1].count);
    return output_text(&out);
}

/* ---- the whole ---- */

/* Whose values cannot be worked with, and why. */
static const char *fault_words(enum bed_fault fault, const char *whose, struct arena *arena) {
    const char *why = bed_fault_words(fault);
    if (fault == BED_NO_LIBRARY) return why;
    return format(arena, "what the frame feels is left out; %s: %s", whose, why);
}

const struct compared_beds *compared_beds(const struct comparison *c, struct arena *arena) {
    static const char *const letters[COMPARED] = {"A", "B"};
    struct compared_beds *beds = arena_one(arena, struct compared_beds);
    const struct bed *both[COMPARED];
    for (int i = 0; i < COMPARED; i++) {
        enum bed_fault fault;
        both[i] = bed_to_compare(c->patterns[i], i == 0 ? NULL : both[0], &fault, arena);
        if (both[i] != NULL) continue;
        beds->left_out = fault_words(fault, letters[i], arena);
        return beds;
    }
    struct ranging r = {arena, beds, compare_beds(both[0], both[1], arena),
                        pull_unit(c->patterns[0], 0)};
    if (!r.sweep->sound) {
        beds->left_out = fault_words(BED_UNSOUND, "A and B", arena);
        return beds;
    }
    beds->sets = r.sweep->sets;
    beds->ranges = ranges_words(&r, known_of_both(both[0], both[1]));
    sort_assumed(&r, both);
    beds->assumed = assumed_words(&r);
    add_rows(&r);
    return beds;
}
