/* The bed by the tension its strands have off the machine: bars from light and thin to dark and
 * thick, each with its number where it ends outside the hoop. */
#include "emit/bedpanel.h"
#include "emit/ticks.h"
#include "emit/type.h"

#include <math.h>

/* Of colours and widths in the picture's rules; fewer classes are spread over them. */
enum { SHADES = 7 };

static const double GAP = 1.0;  /* between hoop, type and type */
static const double STEP = 0.5; /* in which room is looked for, mm of the racket */

struct map {
    const struct bed_picture *picture;
    const struct frame *frame;
    const double *tensions; /* N */
    struct ticks classes;   /* in the picture's unit; one limit more than there are classes */
    int decimals;           /* of a number */
    struct view view;
    struct curve inner;
    double longest; /* of the numbers, on paper */
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
    return format_decimal(map->picture->out->arena, in_unit(map, map->tensions[strand]),
                          map->decimals);
}

static const char *strand_title(const struct map *map, int strand) {
    const struct bed_picture *picture = map->picture;
    struct range range = picture->bed->sweep->off_machine[0][strand];
    return format(picture->out->arena, "%s: %s", map->frame->strands[strand].name,
                  tension_range(picture->bed, range, picture->out->arena));
}

static void put_bar(const struct map *map, int shade, struct point from, struct point to) {
    struct output *out = map->picture->out;
    svg_segment(out, format(out->arena, "bed-case bed-k%d", shade), from, to);
    svg_segment(out, format(out->arena, "bed-c%d", shade), from, to);
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

/* The labels of crosses leave the hoop sideways: where one would pass below a main's label (above
 * it, at the throat), that label stands farther out. */
static double clear_of_crosses(const struct map *map, struct strand_end end, double way,
                               double height) {
    double room = height + GAP / map->view.scale, head = end.way.y < 0 ? 1 : -1;
    for (int i = map->frame->main_count; i < map->frame->strand_count; i++) {
        struct strand_end cross = end_of(map, i, end.at.x < 0 ? 0 : 1);
        bool passes = fabs(cross.at.x) <= fabs(end.at.x) && (end.at.y - cross.at.y) * head >= 0;
        if (!passes) continue;
        way = fmax(way, ((end.at.y - cross.at.y) * head + room) / fabs(end.way.y));
    }
    return way;
}

/* A text that goes on where its strand ends: to be read from below or from the right. */
static void put_strand_label(const struct map *map, int strand, int end, const char *class_name,
                             const char *text) {
    struct output *out = map->picture->out;
    struct strand_end from = end_of(map, strand, end);
    double height = BED_NUMBER / map->view.scale, near = way_out(map, from, height), way = near;
    if (map->frame->strands[strand].kind == MAIN) way = clear_of_crosses(map, from, way, height);
    if (way > near + STEP)
        svg_segment(out, "bed-hair", on_paper(map->view, along(from.at, from.way, near)),
                    on_paper(map->view, along(from.at, from.way, way - 0.5 / map->view.scale)));
    bool upright = map->frame->strands[strand].kind == MAIN;
    bool backwards = upright ? from.way.y > 0 : from.way.x < 0;
    struct point along_text = {backwards ? -from.way.x : from.way.x,
                               backwards ? -from.way.y : from.way.y};
    struct point foot = on_paper(map->view, along(from.at, from.way, way));
    /* the middle of its digits on the line */
    foot.x -= along_text.y * BED_NUMBER * 0.36;
    foot.y += along_text.x * BED_NUMBER * 0.36;
    put_format(out, "<text class=\"%s%s\" transform=\"translate(", class_name,
               backwards ? " bed-end" : "");
    put_decimal(out, foot.x, 2);
    put_char(out, ' ');
    put_decimal(out, foot.y, 2);
    put(out, ") rotate(");
    put_decimal(out, atan2(along_text.y, along_text.x) * 180 / 3.14159265358979323846, 1);
    put(out, ")\">");
    svg_text(out, text);
    put(out, "</text>\n");
}

static void put_labels(const struct map *map) {
    struct output *out = map->picture->out;
    put_format(out, "<g id=\"%stensions\">\n", map->picture->prefix);
    for (int i = 0; i < map->frame->strand_count; i++)
        put_strand_label(map, i, map->frame->strands[i].kind == MAIN ? 0 : 1, "bed-number",
                         number_words(map, i));
    put_format(out, "</g>\n<g id=\"%snames\">\n", map->picture->prefix);
    for (int i = 0; i < map->frame->strand_count; i++)
        put_strand_label(map, i, map->frame->strands[i].kind == MAIN ? 1 : 0, "bed-name",
                         strand_label(&map->frame->strands[i]));
    put(out, "</g>\n");
}

/* ---- what it means ---- */

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
    return format(arena,
                  "Numbers: tension in %s; a strand may have up to %s less or %s more, by the "
                  "values that are not known. Names at the other ends: M mains, C crosses.",
                  unit_word(picture->unit), format_decimal(arena, below, map->decimals),
                  format_decimal(arena, above, map->decimals));
}

static void put_legend(const struct map *map, struct area area) {
    struct output *out = map->picture->out;
    int count = class_count(map);
    double length = fmin(14, (area.width - 8) / count), x = area.left + 4, y = area.top + 7;
    put_format(out, "<g id=\"%sclasses\">\n", map->picture->prefix);
    for (int i = 0; i < count; i++)
        put_bar(map, shade_of_class(map, i), (struct point){x + length * i, y},
                (struct point){x + length * (i + 1), y});
    for (int i = 0; i <= count; i++) {
        struct point at = {x + length * i, y + 1.4};
        svg_segment(out, "bed-axis", at, (struct point){at.x, at.y + 1});
        svg_label(out, "bed-middle", (struct point){at.x, at.y + 1.6 + BED_NUMBER},
                  format_decimal(out->arena, tick_at(map->classes, i), map->classes.decimals));
    }
    put(out, "</g>\n");
    svg_label(out, "bed-bold", (struct point){area.left, area.top + BED_WORDS},
              format(out->arena, "Tension, %s", unit_word(map->picture->unit)));
    put_bed_words(map->picture, "bed-words", (struct point){area.left, y + 9.5}, area.width,
                  spread_words(map));
}

/* ---- the whole ---- */

static void place(struct map *map, struct area area) {
    const struct frame *frame = map->frame;
    double name = text_width("M88", BED_NUMBER);
    double wide = frame->outline.width + 2 * frame->wall,
           high = frame->outline.length + 2 * frame->wall;
    double sides = map->longest + name + 2 * GAP, top = BED_HEADING + 3;
    double ends = map->longest + name + 2 * GAP;
    double scale = fmin((area.width - sides) / wide, (area.height - top - ends) / high);
    double spare = area.width - sides - wide * scale;
    map->view.scale = scale;
    map->view.origin.x = area.left + spare / 2 + name + GAP + wide * scale / 2;
    map->view.origin.y = area.top + top + map->longest + GAP + frame->wall * scale;
}

void put_bed_map(const struct bed_picture *picture, struct area area, struct area legend) {
    struct map map = {.picture = picture,
                      .frame = picture->bed->pattern->frame,
                      .tensions = picture->bed->outcome->off_machine.tensions,
                      .inner = hoop_edge(picture->bed->pattern->frame, picture->out->arena, 0)};
    map.decimals = picture->unit == UNIT_N ? 0 : 1;
    map.classes = classes_of(&map);
    for (int i = 0; i < map.frame->strand_count; i++)
        map.longest = fmax(map.longest, text_width(number_words(&map, i), BED_NUMBER));
    place(&map, area);
    open_panel(picture, "bed", area, "A", "The bed by its tension off the machine");
    put_hoop(&map);
    put_strands(&map);
    put_labels(&map);
    put_legend(&map, legend);
    close_panel(picture);
}
