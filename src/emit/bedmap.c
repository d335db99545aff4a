/* The bed by the tension its strands have off the machine: bars from light and thin to dark and
 * thick, with their numbers where they end outside the hoop: each, or where these are too near each
 * other every second, third and so on. */
#include "emit/bedpanel.h"
#include "emit/ticks.h"
#include "emit/type.h"

#include <math.h>

/* Of colours and widths in the picture's rules; fewer classes are spread over them. */
enum { SHADES = 7 };

static const double GAP = 1.0;             /* between hoop, type and type */
static const double TOP = BED_HEADING + 3; /* the heading takes */
static const double SLACK = 2.5;           /* by which labels may leave the area */
static const double STEP = 0.5;            /* in which room is looked for, mm of the racket */

/* A text that goes on where its strand ends: a number at the head or on the right, a name at the
 * throat or on the left. In mm of the racket along the strand. */
struct label {
    const char *text;
    double near, way; /* where the wall is clear, where the text begins */
    double length;
};

struct map {
    const struct bed_picture *picture;
    const struct frame *frame;
    const double *tensions; /* N */
    struct ticks classes;   /* in the picture's unit; one limit more than there are classes */
    int decimals;           /* of a number */
    struct area area;       /* of the hoop with its labels */
    struct view view;
    struct curve inner;
    double longest;          /* of the numbers, on paper */
    double thickest;         /* of the bars, on paper */
    struct label *labels[2]; /* by end and strand */
    int every[2];            /* MAIN, CROSS: which of them have labels, from the outermost on */
};

/* ---- classes ---- */

static double in_unit(const struct map *map, double newton) {
    return newton / unit_factor(map->picture->unit);
}

static struct ticks classes_of(const struct map *map) {
    double least = INFINITY, most = 0;
    for (int i = 0; i < map->frame->strand_count; i++) {
        double tension = in_unit(map, map->tensions[i]);
        if (tension <= 0) continue;
        least = fmin(least, tension);
        most = fmax(most, tension);
    }
    return ticks_over(fmin(least, most), most, SHADES, STEPS_FINE);
}

static int class_count(const struct map *map) { return map->classes.count - 1; }

static int shade_of_class(const struct map *map, int number) {
    int count = class_count(map);
    return count < 2 ? SHADES / 2 : number * (SHADES - 1) / (count - 1);
}

static int class_of(const struct map *map, double tension) {
    int number = (int)floor(tension / map->classes.step + 1e-9) - map->classes.first;
    return number < 0 ? 0 : number >= class_count(map) ? class_count(map) - 1 : number;
}

/* ---- strands ---- */

static const char *number_words(const struct map *map, int strand) {
    return fixed_words(map->picture, in_unit(map, map->tensions[strand]), map->decimals);
}

static const char *strand_title(const struct map *map, int strand) {
    const struct bed_picture *picture = map->picture;
    struct range range = picture->bed->sweep->off_machine[0][strand];
    return format(picture->out->arena, "%s: %s", map->frame->strands[strand].name,
                  tension_range(picture->bed, range, picture->out->arena));
}

/* How far a strand is from the line of another, where they come nearest, on paper. */
static double apart(const struct map *map, const struct strand *a, const struct strand *b) {
    const struct hole *holes = map->frame->holes;
    struct point from = holes[b->holes[0]].at, to = holes[b->holes[1]].at;
    double x = to.x - from.x, y = to.y - from.y, length = sqrt(x * x + y * y), least = INFINITY;
    for (int i = 0; i < 2; i++) {
        struct point at = holes[a->holes[i]].at;
        least = fmin(least, fabs((at.x - from.x) * y - (at.y - from.y) * x) / length);
    }
    return least * map->view.scale;
}

/* Of the thickest bar with its casing: less where strands are near each other. */
static double thickest_of(const struct map *map) {
    double thickest = 2.1;
    for (int i = 1; i < map->frame->strand_count; i++) {
        const struct strand *a = &map->frame->strands[i - 1], *b = &map->frame->strands[i];
        if (a->kind == b->kind) thickest = fmin(thickest, 0.8 * apart(map, a, b));
    }
    return fmax(thickest, 0.3);
}

static void put_line(struct output *out, const char *class_name, double width, struct point from,
                     struct point to) {
    put_format(out, "<path class=\"%s\"", class_name);
    svg_number(out, "stroke-width", width);
    put(out, " d=\"");
    svg_move(out, from);
    svg_line(out, to);
    put(out, "\"/>");
}

/* A bar in its casing. */
static void put_bar(const struct map *map, int shade, struct point from, struct point to) {
    struct output *out = map->picture->out;
    const double thinnest = 0.45;
    double width = map->thickest * (thinnest + (1 - thinnest) * shade / (SHADES - 1));
    double casing = fmin(0.3, width / 3);
    put_line(out, "bed-case", width, from, to);
    put_line(out, format(out->arena, "bed-c%d", shade), width - casing, from, to);
}

static void put_strand(const struct map *map, int strand) {
    struct output *out = map->picture->out;
    const struct strand *at = &map->frame->strands[strand];
    const struct hole *holes = map->frame->holes;
    double tension = in_unit(map, map->tensions[strand]);
    struct point from = on_paper(map->view, holes[at->holes[0]].at),
                 to = on_paper(map->view, holes[at->holes[1]].at);
    put_format(out, "<g id=\"%sstrand-%s\">", map->picture->prefix, at->id);
    svg_title(out, strand_title(map, strand));
    if (tension > 0)
        put_bar(map, shade_of_class(map, class_of(map, tension)), from, to);
    else
        svg_segment(out, "bed-slack", from, to);
    put(out, "</g>\n");
}

static void put_strands(const struct map *map) {
    struct output *out = map->picture->out;
    put_format(out, "<g id=\"%sstrands\">\n", map->picture->prefix);
    for (int i = 0; i < map->frame->strand_count; i++)
        put_strand(map, i);
    put(out, "</g>\n");
}

static void put_hoop(const struct map *map) {
    struct output *out = map->picture->out;
    struct curve edges[] = {map->inner, hoop_edge(map->frame, out->arena, map->frame->wall)};
    put(out, "<path class=\"bed-hoop\" fill-rule=\"evenodd\" d=\"");
    for (int k = 0; k < 2; k++) {
        for (int i = 0; i <= 3 * edges[k].count; i++)
            edges[k].at[i] = on_paper(map->view, edges[k].at[i]);
        svg_move(out, edges[k].at[0]);
        for (int i = 0; i < edges[k].count; i++)
            svg_cubic(out, &edges[k].at[1 + 3 * i]);
        put_char(out, 'Z');
    }
    put(out, "\"/>\n");
}

/* ---- numbers and names outside the hoop ---- */

static int count_of(const struct map *map, enum kind kind) {
    int mains = map->frame->main_count;
    return kind == MAIN ? mains : map->frame->strand_count - mains;
}

/* Counted from both sides, so that the first and the last always have theirs. */
static bool has_labels(const struct map *map, int strand) {
    const struct strand *of = &map->frame->strands[strand];
    int from_last = count_of(map, of->kind) - 1 - of->index;
    int place = of->index < from_last ? of->index : from_last;
    return place % map->every[of->kind] == 0;
}

/* A strand's end as a label sees it: where it leaves the bed, and the way on, a unit vector. */
struct strand_end {
    struct point at, way;
};

static struct strand_end end_of(const struct map *map, int strand, int end) {
    const struct strand *of = &map->frame->strands[strand];
    struct point at = map->frame->holes[of->holes[end]].at,
                 other = map->frame->holes[of->holes[1 - end]].at;
    double x = at.x - other.x, y = at.y - other.y, length = sqrt(x * x + y * y);
    return (struct strand_end){at, {x / length, y / length}};
}

/* How far a point is from the inside of the hoop. */
static double from_hoop(const struct map *map, struct point at) {
    double least = INFINITY;
    const struct outline *outline = &map->frame->outline;
    enum { SAMPLES = 120 };
    for (int i = 0; i <= SAMPLES; i++) {
        struct point on = outline_at(outline, outline->half_arc * i / SAMPLES, NULL);
        double x = fabs(at.x) - on.x, y = at.y - on.y;
        least = fmin(least, x * x + y * y);
    }
    return sqrt(least);
}

/* How far along its way a label of a height begins, so that it is clear of the wall. */
static double way_out(const struct map *map, struct strand_end end, double height) {
    double clear = map->frame->wall + GAP / map->view.scale, way = map->frame->wall;
    for (; way < 8 * clear; way += STEP) {
        struct point at = along(end.at, end.way, way);
        struct point across = {-end.way.y, end.way.x};
        if (from_hoop(map, along(at, across, height / 2)) >= clear &&
            from_hoop(map, along(at, across, -height / 2)) >= clear)
            break;
    }
    return way;
}

/* Where a label has to begin so that a stretch beyond its strand's end, measured away from the
 * middle of the hoop, is clear of it. */
static double beyond(struct strand_end end, double y) {
    return fabs(y - end.at.y) / fabs(end.way.y);
}

/* The labels of crosses leave the hoop sideways: where one passes between a main's end and its
 * label, that label stands farther out, and the cross's beyond the line that leads to it. */
static void clear_of_crosses(const struct map *map, int main, int end, double height) {
    struct strand_end at = end_of(map, main, end);
    struct label *label = &map->labels[end][main];
    double gap = GAP / map->view.scale, out = at.way.y < 0 ? -1 : 1;
    for (int i = map->frame->main_count; i < map->frame->strand_count; i++) {
        if (!has_labels(map, i)) continue;
        int side = at.at.x < 0 ? 0 : 1;
        struct strand_end cross = end_of(map, i, side);
        struct label *other = &map->labels[side][i];
        struct point level = along(at.at, at.way, beyond(at, cross.at.y));
        double aside = fabs(level.x) - fabs(cross.at.x), ahead = (cross.at.y - at.at.y) * out;
        if (aside < 0 || ahead < 0 || ahead + height < label->near) continue;
        label->way = fmax(label->way, beyond(at, cross.at.y + out * (height + gap)));
        if (other->way + other->length > aside - gap)
            other->way = fmax(other->way, aside + gap / 2);
    }
}

static bool runs_into(const struct map *map, int main, int other, int end, double height) {
    if (!has_labels(map, other)) return false;
    struct strand_end a = end_of(map, main, end), b = end_of(map, other, end);
    const struct label *x = &map->labels[end][main], *y = &map->labels[end][other];
    if (fabs(a.at.x - b.at.x) > height + 0.3 / map->view.scale) return false;
    double gap = GAP / map->view.scale, from = fabs(a.at.y + a.way.y * x->way - b.at.y),
           to = from + x->length;
    return from < y->way + y->length + gap && to > y->way - gap;
}

/* Neighbours that are too near each other stand one above the other, going outwards from the middle
 * one. */
static void clear_of_mains(const struct map *map, int from, int step, int end, double height) {
    for (int main = from; main >= 0 && main < map->frame->main_count; main += step) {
        if (!has_labels(map, main)) continue;
        clear_of_crosses(map, main, end, height);
        for (int tries = 0; tries < 40; tries++) {
            int other = main - step;
            for (; other != from - step; other -= step)
                if (runs_into(map, main, other, end, height)) break;
            if (other == from - step) break;
            map->labels[end][main].way += STEP;
        }
    }
}

static void place_labels(struct map *map) {
    const struct frame *frame = map->frame;
    double height = BED_NUMBER / map->view.scale;
    for (int end = 0; end < 2; end++)
        for (int i = 0; i < frame->strand_count; i++) {
            bool number = (frame->strands[i].kind == MAIN) == (end == 0);
            struct label *label = &map->labels[end][i];
            label->text = number ? number_words(map, i) : strand_label(&frame->strands[i]);
            label->near = label->way = way_out(map, end_of(map, i, end), height);
            label->length = text_width(label->text, BED_NUMBER) / map->view.scale;
        }
    for (int end = 0; end < 2; end++) {
        clear_of_mains(map, frame->main_count / 2, 1, end, height);
        clear_of_mains(map, frame->main_count / 2 - 1, -1, end, height);
    }
}

/* ---- whether there is room for them ---- */

/* A stretch of a label's way with some width: its text, or the line that leads to it. */
struct stripe {
    enum kind kind;
    struct point corners[4]; /* on paper */
};

static struct stripe stripe_of(const struct map *map, int strand, int end, double from, double to,
                               double half) {
    struct strand_end of = end_of(map, strand, end);
    struct point across = {-of.way.y, of.way.x},
                 near = on_paper(map->view, along(of.at, of.way, from)),
                 far = on_paper(map->view, along(of.at, of.way, to));
    return (struct stripe){map->frame->strands[strand].kind,
                           {along(near, across, half), along(far, across, half),
                            along(far, across, -half), along(near, across, -half)}};
}

/* Whether a line along a side of `a` parts the two. */
static bool side_parts(const struct stripe *a, const struct stripe *b) {
    for (int side = 0; side < 2; side++) {
        struct point from = a->corners[side], to = a->corners[side + 1],
                     way = {to.x - from.x, to.y - from.y};
        double least[2] = {INFINITY, INFINITY}, most[2] = {-INFINITY, -INFINITY};
        for (int i = 0; i < 8; i++) {
            struct point at = i < 4 ? a->corners[i] : b->corners[i - 4];
            double on = at.x * way.x + at.y * way.y;
            least[i / 4] = fmin(least[i / 4], on);
            most[i / 4] = fmax(most[i / 4], on);
        }
        if (most[0] <= least[1] || most[1] <= least[0]) return true;
    }
    return false;
}

static bool leaves_area(const struct map *map, const struct stripe *stripe) {
    for (int i = 0; i < 4; i++) {
        struct point at = stripe->corners[i];
        if (at.x < map->area.left || at.x > map->area.left + map->area.width ||
            at.y < map->area.top || at.y > map->area.top + map->area.height)
            return true;
    }
    return false;
}

/* Whether two labels lie on each other or one leaves the area; `*kind` says which are too many, of
 * two kinds those of which there are more. */
static bool too_many_labels(const struct map *map, enum kind *kind) {
    struct arena *arena = map->picture->out->arena;
    array_of(struct stripe) stripes = {0};
    const double half = 0.46 * BED_NUMBER, line = 0.1;
    for (int end = 0; end < 2; end++)
        for (int i = 0; i < map->frame->strand_count; i++) {
            const struct label *label = &map->labels[end][i];
            if (!has_labels(map, i)) continue;
            *array_add(arena, &stripes) =
                stripe_of(map, i, end, label->way, label->way + label->length, half);
            if (label->way > label->near + 1 / map->view.scale)
                *array_add(arena, &stripes) =
                    stripe_of(map, i, end, label->near, label->way - 0.5 / map->view.scale, line);
        }
    for (size_t i = 0; i < stripes.count; i++) {
        const struct stripe *a = &stripes.at[i];
        *kind = a->kind;
        if (leaves_area(map, a)) return true;
        for (size_t k = 0; k < i; k++) {
            const struct stripe *b = &stripes.at[k];
            if (side_parts(a, b) || side_parts(b, a)) continue;
            if (a->kind != b->kind)
                *kind = count_of(map, MAIN) / map->every[MAIN] >
                                count_of(map, CROSS) / map->every[CROSS]
                            ? MAIN
                            : CROSS;
            return true;
        }
    }
    return false;
}

/* All of them, or as many as there is room for. */
static void lay_out_labels(struct map *map) {
    struct arena *arena = map->picture->out->arena;
    for (int end = 0; end < 2; end++)
        map->labels[end] = arena_many(arena, struct label, map->frame->strand_count + 1);
    map->every[MAIN] = map->every[CROSS] = 1;
    enum kind many;
    for (place_labels(map); too_many_labels(map, &many) && map->every[many] < count_of(map, many);
         place_labels(map))
        map->every[many]++;
}

/* To be read from below or from the right. */
static void put_label(const struct map *map, int strand, int end, const char *class_name) {
    struct output *out = map->picture->out;
    const struct label *label = &map->labels[end][strand];
    struct strand_end from = end_of(map, strand, end);
    if (label->way > label->near + 1 / map->view.scale)
        svg_segment(
            out, "bed-hair", on_paper(map->view, along(from.at, from.way, label->near)),
            on_paper(map->view, along(from.at, from.way, label->way - 0.5 / map->view.scale)));
    bool upright = map->frame->strands[strand].kind == MAIN;
    bool backwards = upright ? from.way.y > 0 : from.way.x < 0;
    struct point way = {backwards ? -from.way.x : from.way.x, backwards ? -from.way.y : from.way.y};
    struct point foot = on_paper(map->view, along(from.at, from.way, label->way));
    /* the middle of its digits on the line */
    foot.x -= way.y * BED_NUMBER * 0.36;
    foot.y += way.x * BED_NUMBER * 0.36;
    put_format(out, "<text class=\"%s%s\" transform=\"translate(", class_name,
               backwards ? " bed-end" : "");
    put_decimal(out, foot.x, 2);
    put_char(out, ' ');
    put_decimal(out, foot.y, 2);
    put(out, ") rotate(");
    put_decimal(out, atan2(way.y, way.x) * 180 / 3.14159265358979323846, 1);
    put(out, ")\">");
    svg_text(out, label->text);
    put(out, "</text>\n");
}

static void put_labels(const struct map *map) {
    static const char *const ids[] = {"tensions", "names"};
    static const char *const classes[] = {"bed-number", "bed-name"};
    struct output *out = map->picture->out;
    for (int k = 0; k < 2; k++) {
        put_format(out, "<g id=\"%s%s\">\n", map->picture->prefix, ids[k]);
        for (int i = 0; i < map->frame->strand_count; i++)
            if (has_labels(map, i))
                put_label(map, i, map->frame->strands[i].kind == MAIN ? k : 1 - k, classes[k]);
        put(out, "</g>\n");
    }
}

/* ---- what it means ---- */

static const char *every_of(const struct map *map, enum kind kind, const char *name) {
    int every = map->every[kind], last = every / 10 % 10 == 1 ? 0 : every % 10;
    const char *ending = last == 1 ? "st" : last == 2 ? "nd" : last == 3 ? "rd" : "th";
    return format(map->picture->out->arena, "every %d%s %s", every, ending, name);
}

/* Which strands have their numbers; "" where all have. */
static const char *every_words(const struct map *map) {
    struct arena *arena = map->picture->out->arena;
    bool mains = map->every[MAIN] > 1, crosses = map->every[CROSS] > 1;
    if (!mains && !crosses) return "";
    const char *which = every_of(map, mains ? MAIN : CROSS, mains ? "main" : "cross");
    if (map->every[MAIN] == map->every[CROSS])
        which = every_of(map, MAIN, "strand");
    else if (mains && crosses)
        which = format(arena, "%s and %s", which, every_of(map, CROSS, "cross"));
    return format(arena, "; %s, counted from the outermost, has its number", which);
}

/* By how much a strand's number may be too large, and too small: the most of all strands. */
static const char *spread_words(const struct map *map) {
    const struct bed_picture *picture = map->picture;
    double below = 0, above = 0;
    for (int i = 0; i < map->frame->strand_count; i++) {
        struct range range = picture->bed->sweep->off_machine[0][i];
        below = fmax(below, in_unit(map, range.nominal - range.least));
        above = fmax(above, in_unit(map, range.most - range.nominal));
    }
    struct arena *arena = picture->out->arena;
    return format(
        arena,
        "Numbers: tension in %s%s; a strand may have up to %s less or %s more, by the "
        "values that are not known. Names at the other ends: M mains, C crosses, seen from "
        "the front.",
        unit_word(picture->unit), every_words(map), format_decimal(arena, below, map->decimals),
        format_decimal(arena, above, map->decimals));
}

/* Its words below its bar or, where there is room, beside it; gives the foot of the lower. */
static double put_legend(const struct map *map, struct area area) {
    struct output *out = map->picture->out;
    int count = class_count(map);
    const double bar = fmin(area.width, 77), gap = 6;
    bool beside = area.width - bar - gap > bar;
    double length = fmin(14, (bar - 8) / count), x = area.left + 4, y = area.top + 7;
    put_format(out, "<g id=\"%sclasses\">\n", map->picture->prefix);
    struct map sample = *map; /* thick enough for its colours */
    sample.thickest = fmax(map->thickest, 1.2);
    for (int i = 0; i < count; i++)
        put_bar(&sample, shade_of_class(map, i), (struct point){x + length * i, y},
                (struct point){x + length * (i + 1), y});
    for (int i = 0; i <= count; i++) {
        struct point at = {x + length * i, y + 1.4};
        svg_segment(out, "bed-axis", at, (struct point){at.x, at.y + 1});
        svg_label(out, "bed-middle", (struct point){at.x, at.y + 1.6 + BED_NUMBER},
                  fixed_words(map->picture, tick_at(map->classes, i), map->classes.decimals));
    }
    put(out, "</g>\n");
    svg_label(out, "bed-bold", (struct point){area.left, area.top + BED_WORDS},
              format(out->arena, "Tension, %s", unit_word(map->picture->unit)));
    struct point words = {area.left, y + 9.5};
    if (beside) words = (struct point){area.left + bar + gap, area.top + BED_WORDS};
    double foot = put_bed_words(map->picture, "bed-words", words, area.left + area.width - words.x,
                                spread_words(map));
    return fmax(foot, y + 1.6 + BED_NUMBER);
}

/* ---- the whole ---- */

/* What labels take beside the hoop and above and below it. */
static double sides_of(const struct map *map) {
    return map->longest + text_width("M88", BED_NUMBER) + 2 * GAP;
}

static double scale_in(const struct map *map, double width, double height) {
    const struct frame *frame = map->frame;
    double wide = frame->outline.width + 2 * frame->wall,
           high = frame->outline.length + 2 * frame->wall, sides = sides_of(map);
    return fmin((width - sides) / wide, (height - TOP - sides) / high);
}

static void place(struct map *map, struct area area) {
    const struct frame *frame = map->frame;
    double name = text_width("M88", BED_NUMBER), sides = sides_of(map);
    double scale = scale_in(map, area.width, area.height);
    double wide = (frame->outline.width + 2 * frame->wall) * scale,
           high = (frame->outline.length + 2 * frame->wall) * scale;
    double aside = (area.width - sides - wide) / 2, down = (area.height - TOP - sides - high) / 2;
    map->area = (struct area){area.left - SLACK, area.top + BED_HEADING + 1, area.width + 2 * SLACK,
                              area.height - BED_HEADING - 1 + SLACK};
    map->view.scale = scale;
    map->view.origin.x = area.left + aside + name + GAP + wide / 2;
    map->view.origin.y = area.top + TOP + down + map->longest + GAP + frame->wall * scale;
}

static struct map map_of(const struct bed_picture *picture) {
    struct map map = {.picture = picture,
                      .frame = picture->bed->pattern->frame,
                      .tensions = picture->bed->outcome->off_machine.tensions,
                      .inner = hoop_edge(picture->bed->pattern->frame, picture->out->arena, 0)};
    map.decimals = picture->unit == UNIT_N ? 0 : picture->unit == UNIT_KG ? 2 : 1;
    map.classes = classes_of(&map);
    for (int i = 0; i < map.frame->strand_count; i++)
        map.longest = fmax(map.longest, text_width(number_words(&map, i), BED_NUMBER));
    return map;
}

double bed_map_width(const struct bed_picture *picture, double height) {
    struct map map = map_of(picture);
    const struct outline *outline = &map.frame->outline;
    return sides_of(&map) +
           (outline->width + 2 * map.frame->wall) * scale_in(&map, INFINITY, height);
}

double put_bed_map(const struct bed_picture *picture, struct area area, struct area legend) {
    struct map map = map_of(picture);
    place(&map, area);
    map.thickest = thickest_of(&map);
    lay_out_labels(&map);
    open_panel(picture, "bed", area, "A", "The bed by its tension off the machine");
    put_hoop(&map);
    put_strands(&map);
    put_labels(&map);
    double foot = put_legend(&map, legend);
    close_panel(picture);
    return foot;
}
