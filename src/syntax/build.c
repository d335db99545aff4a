/* The pieces of the tree, one small maker each. */
#include "syntax/build.h"

struct span syntax_span_of_parts(const struct span *parts, int count) {
    struct span span = {0};
    for (int i = 1; i <= count; i++) {
        if (parts[i].start >= parts[i].end) continue;
        if (!span_given(span)) span.start = parts[i].start;
        span.end = parts[i].end;
    }
    /* parts[0] has no meaning where the parser recovers from an error */
    return span_given(span) ? span : (struct span){parts[1].end, parts[1].end};
}

static bool any_damaged(const struct tree_line *line) {
    for (; line != NULL; line = line->next)
        if (line->kind == LINE_DAMAGED) return true;
    return false;
}

void tree_define(struct syntax *syntax, enum definition_kind kind, struct tree_name name,
                 struct tree_name title, struct tree_name frame, struct tree_line *lines,
                 struct span span, struct span head) {
    struct tree_definition *definition = arena_one(syntax->arena, struct tree_definition);
    definition->kind = kind;
    definition->name = name;
    definition->title = title;
    definition->frame = frame;
    TREE_CLOSE(struct tree_line, definition->lines, lines);
    definition->span = span;
    definition->head = head;
    definition->damaged = any_damaged(definition->lines);
    if (syntax->last == NULL)
        syntax->tree->definitions = definition;
    else
        syntax->last->next = definition;
    syntax->last = definition;
    syntax->definitions++;
}

static struct tree_line *new_line(struct syntax *syntax, enum line_kind kind, struct span span) {
    struct tree_line *line = arena_one(syntax->arena, struct tree_line);
    line->kind = kind;
    line->span = span;
    return line;
}

struct tree_line *line_name(struct syntax *syntax, enum line_kind kind, struct span span,
                            struct tree_name name) {
    struct tree_line *line = new_line(syntax, kind, span);
    line->as.name = name;
    return line;
}

struct tree_line *line_number(struct syntax *syntax, enum line_kind kind, struct span span,
                              struct tree_number number) {
    struct tree_line *line = new_line(syntax, kind, span);
    line->as.number = number;
    return line;
}

struct tree_line *line_inside(struct syntax *syntax, struct span span, struct tree_number width,
                              struct tree_number length) {
    struct tree_line *line = new_line(syntax, LINE_INSIDE, span);
    line->as.inside.width = width;
    line->as.inside.length = length;
    return line;
}

struct tree_line *line_outline(struct syntax *syntax, struct span span, enum outline_word word,
                               struct tree_number exponent, struct tree_number taper,
                               struct tree_at *stations) {
    struct tree_line *line = new_line(syntax, LINE_OUTLINE, span);
    line->as.outline.word = word;
    line->as.outline.exponent = exponent;
    line->as.outline.taper = taper;
    TREE_CLOSE(struct tree_at, line->as.outline.stations, stations);
    return line;
}

struct tree_line *line_holes(struct syntax *syntax, struct span span, struct tree_word_side side,
                             struct tree_word_place place, struct tree_slot *slots) {
    struct tree_line *line = new_line(syntax, LINE_HOLES, span);
    line->as.holes.side = side;
    line->as.holes.place = place;
    TREE_CLOSE(struct tree_slot, line->as.holes.slots, slots);
    return line;
}

struct tree_line *line_tape(struct syntax *syntax, struct span span, struct tree_at *tape) {
    struct tree_line *line = new_line(syntax, LINE_TAPE, span);
    TREE_CLOSE(struct tree_at, line->as.tape, tape);
    return line;
}

struct tree_line *line_tie_off(struct syntax *syntax, struct span span,
                               struct tree_hole_list *holes) {
    struct tree_line *line = new_line(syntax, LINE_TIE_OFF, span);
    TREE_CLOSE(struct tree_hole_list, line->as.tie_off, holes);
    return line;
}

struct tree_line *line_guide(struct syntax *syntax, struct span span, struct tree_hole hole,
                             enum lane lane) {
    struct tree_line *line = new_line(syntax, LINE_GUIDE, span);
    line->as.guide.hole = hole;
    line->as.guide.lane = lane;
    return line;
}

struct tree_line *line_short_side(struct syntax *syntax, struct span span,
                                  struct tree_word_side side) {
    struct tree_line *line = new_line(syntax, LINE_SHORT_SIDE, span);
    line->as.short_side = side;
    return line;
}

struct tree_line *line_range(struct syntax *syntax, struct span span, struct tree_number least,
                             struct tree_number most) {
    struct tree_line *line = new_line(syntax, LINE_RANGE, span);
    line->as.range.least = least;
    line->as.range.most = most;
    return line;
}

struct tree_line *line_stretch(struct syntax *syntax, struct span span, struct tree_number percent,
                               struct tree_number at) {
    struct tree_line *line = new_line(syntax, LINE_STRETCH, span);
    line->as.stretch.percent = percent;
    line->as.stretch.at = at;
    return line;
}

struct tree_line *line_overall(struct syntax *syntax, struct span span, struct tree_number length,
                               struct tree_number width) {
    struct tree_line *line = new_line(syntax, LINE_OVERALL, span);
    line->as.overall.length = length;
    line->as.overall.width = width;
    return line;
}

struct tree_line *line_squeeze(struct syntax *syntax, struct span span, struct tree_number wide,
                               struct tree_number length) {
    struct tree_line *line = new_line(syntax, LINE_SQUEEZE, span);
    line->as.squeeze.wide = wide;
    line->as.squeeze.length = length;
    return line;
}

struct tree_line *line_mount(struct syntax *syntax, struct span span, struct tree_name name,
                             struct tree_bears *bears, struct tree_number stiffness) {
    struct tree_line *line = new_line(syntax, LINE_MOUNT, span);
    line->as.mount.name = name;
    TREE_CLOSE(struct tree_bears, line->as.mount.bears, bears);
    line->as.mount.stiffness = stiffness;
    return line;
}

struct tree_line *line_pace(struct syntax *syntax, struct span span, struct tree_pace *pace) {
    struct tree_line *line = new_line(syntax, LINE_PACE, span);
    TREE_CLOSE(struct tree_pace, line->as.pace, pace);
    return line;
}

struct tree_line *line_clamps(struct syntax *syntax, struct span span, struct tree_clamps *clamps) {
    struct tree_line *line = new_line(syntax, LINE_CLAMPS, span);
    TREE_CLOSE(struct tree_clamps, line->as.clamps, clamps);
    return line;
}

struct tree_line *line_pieces(struct syntax *syntax, struct span span, int count,
                              struct tree_word_side long_side) {
    struct tree_line *line = new_line(syntax, LINE_PIECES, span);
    line->as.pieces.count = count;
    line->as.pieces.long_side = long_side;
    return line;
}

struct tree_line *line_string(struct syntax *syntax, struct span span, struct tree_name mains,
                              struct tree_name crosses) {
    struct tree_line *line = new_line(syntax, LINE_STRING, span);
    line->as.string.mains = mains;
    line->as.string.crosses = crosses;
    return line;
}

struct tree_line *line_tension(struct syntax *syntax, struct span span, struct tree_pull *pulls) {
    struct tree_line *line = new_line(syntax, LINE_TENSION, span);
    TREE_CLOSE(struct tree_pull, line->as.tension, pulls);
    return line;
}

struct tree_line *line_crosses(struct syntax *syntax, struct span span, struct tree_word_place from,
                               struct tree_word_end by, struct tree_strands_list *skip) {
    struct tree_line *line = new_line(syntax, LINE_CROSSES, span);
    line->as.crosses.from = from;
    line->as.crosses.by = by;
    TREE_CLOSE(struct tree_strands_list, line->as.crosses.skip, skip);
    return line;
}

struct tree_line *line_mains(struct syntax *syntax, struct span span, struct tree_word_place from,
                             struct tree_mains_part *parts) {
    struct tree_line *line = new_line(syntax, LINE_MAINS, span);
    line->as.mains.from = from;
    TREE_CLOSE(struct tree_mains_part, line->as.mains.parts, parts);
    return line;
}

struct tree_line *line_plain(struct syntax *syntax, enum line_kind kind, struct span span) {
    return new_line(syntax, kind, span);
}

struct tree_line *line_hold(struct syntax *syntax, struct span span,
                            struct tree_strands_list *strands, struct tree_word_end by) {
    struct tree_line *line = new_line(syntax, LINE_HOLD, span);
    TREE_CLOSE(struct tree_strands_list, line->as.hold.strands, strands);
    line->as.hold.by = by;
    return line;
}

struct tree_line *line_finish(struct syntax *syntax, struct span span, struct tree_word_place at) {
    struct tree_line *line = new_line(syntax, LINE_FINISH, span);
    line->as.finish = at;
    return line;
}

struct tree_line *line_aims(struct syntax *syntax, struct span span, struct tree_aim *aims) {
    struct tree_line *line = new_line(syntax, LINE_AIMS, span);
    TREE_CLOSE(struct tree_aim, line->as.aims, aims);
    return line;
}

struct tree_line *line_leg(struct syntax *syntax, struct span span, struct tree_word_end end,
                           struct tree_item *items) {
    struct tree_line *line = new_line(syntax, LINE_LEG, span);
    line->as.leg.end = end;
    TREE_CLOSE(struct tree_item, line->as.leg.items, items);
    return line;
}

struct tree_line *line_damaged(struct syntax *syntax, struct span span) {
    return line_plain(syntax, LINE_DAMAGED, span);
}

struct tree_strands *tree_strands(struct syntax *syntax, struct tree_word_side side,
                                  struct tree_strand first, struct tree_strand last,
                                  struct span span) {
    struct tree_strands *strands = arena_one(syntax->arena, struct tree_strands);
    *strands = (struct tree_strands){side.side, first, last, span};
    return strands;
}

struct tree_option *tree_option(struct syntax *syntax, enum option_kind kind,
                                struct tree_number first, struct tree_number then,
                                struct span span) {
    struct tree_option *option = arena_one(syntax->arena, struct tree_option);
    *option = (struct tree_option){kind, first, then, span};
    return option;
}

static struct tree_slot *new_slot(struct syntax *syntax, enum slot_kind kind, struct span span) {
    struct tree_slot *slot = arena_one(syntax->arena, struct tree_slot);
    slot->kind = kind;
    slot->span = span;
    return slot;
}

struct tree_slot *slot_strands(struct syntax *syntax, struct span span,
                               const struct tree_strands *strands) {
    struct tree_slot *slot = new_slot(syntax, SLOT_STRANDS, span);
    slot->strands = *strands;
    return slot;
}

struct tree_slot *slot_shared(struct syntax *syntax, struct span span, struct tree_strand first,
                              struct tree_strand second) {
    struct tree_slot *slot = new_slot(syntax, SLOT_SHARED, span);
    slot->shared[0] = first;
    slot->shared[1] = second;
    return slot;
}

struct tree_slot *slot_unused(struct syntax *syntax, struct span span) {
    return new_slot(syntax, SLOT_UNUSED, span);
}

struct tree_at *tree_at(struct syntax *syntax, struct tree_hole hole, struct tree_number value,
                        struct tree_number at) {
    struct tree_at *mark = arena_one(syntax->arena, struct tree_at);
    mark->hole = hole;
    mark->value = value;
    mark->at = at;
    return mark;
}

struct tree_aim *tree_aim(struct syntax *syntax, struct span span, enum aim aim) {
    struct tree_aim *member = arena_one(syntax->arena, struct tree_aim);
    *member = (struct tree_aim){.aim = aim, .span = span};
    return member;
}

struct tree_hole_list *tree_hole_list(struct syntax *syntax, struct tree_hole hole) {
    struct tree_hole_list *member = arena_one(syntax->arena, struct tree_hole_list);
    member->hole = hole;
    return member;
}

struct tree_strands_list *tree_strands_list(struct syntax *syntax,
                                            const struct tree_strands *strands) {
    struct tree_strands_list *member = arena_one(syntax->arena, struct tree_strands_list);
    member->strands = *strands;
    return member;
}

struct tree_clamps *tree_clamps(struct syntax *syntax, struct tree_number count,
                                enum clamp_kind kind) {
    struct tree_clamps *clamps = arena_one(syntax->arena, struct tree_clamps);
    clamps->count = count;
    clamps->kind = kind;
    return clamps;
}

struct tree_bears *tree_bears(struct syntax *syntax, struct span span, enum bearing_word bearing,
                              struct tree_number clock) {
    struct tree_bears *bears = arena_one(syntax->arena, struct tree_bears);
    *bears = (struct tree_bears){.bearing = bearing, .clock = clock, .span = span};
    return bears;
}

struct tree_pace *tree_pace(struct syntax *syntax, struct span span, enum pace kind,
                            struct tree_number seconds) {
    struct tree_pace *pace = arena_one(syntax->arena, struct tree_pace);
    *pace = (struct tree_pace){.kind = kind, .seconds = seconds, .span = span};
    return pace;
}

struct tree_pull *tree_pull(struct syntax *syntax, struct span span, struct tree_target target,
                            int sign, struct tree_number amount) {
    struct tree_pull *pull = arena_one(syntax->arena, struct tree_pull);
    pull->target = target.target;
    if (target.strands != NULL) pull->strands = *target.strands;
    pull->sign = sign;
    pull->amount = amount;
    pull->span = span;
    return pull;
}

static struct tree_mains_part *new_part(struct syntax *syntax, enum mains_part_kind kind,
                                        struct span span) {
    struct tree_mains_part *part = arena_one(syntax->arena, struct tree_mains_part);
    part->kind = kind;
    part->span = span;
    return part;
}

struct tree_mains_part *mains_strands(struct syntax *syntax, struct span span,
                                      const struct tree_strands *strands) {
    struct tree_mains_part *part = new_part(syntax, MAINS_STRANDS, span);
    part->strands = *strands;
    return part;
}

struct tree_mains_part *mains_option(struct syntax *syntax, struct span span,
                                     const struct tree_option *option) {
    struct tree_mains_part *part = new_part(syntax, MAINS_OPTION, span);
    part->option = *option;
    return part;
}

struct tree_mains_part *mains_first(struct syntax *syntax, struct span span,
                                    struct tree_word_end end) {
    struct tree_mains_part *part = new_part(syntax, MAINS_FIRST, span);
    part->first = end;
    return part;
}

static struct tree_item *new_item(struct syntax *syntax, enum item_kind kind, struct span span) {
    struct tree_item *item = arena_one(syntax->arena, struct tree_item);
    item->kind = kind;
    item->span = span;
    return item;
}

struct tree_item *item_strands(struct syntax *syntax, struct span span, enum item_verb verb,
                               const struct tree_strands *strands, struct tree_from from,
                               struct tree_weave weave) {
    struct tree_item *item = new_item(syntax, ITEM_STRANDS, span);
    item->verb = verb;
    item->strands = *strands;
    item->from_side = from.side;
    item->from_place = from.place;
    item->from_span = from.span;
    item->first = weave.word;
    item->first_span = weave.span;
    return item;
}

struct tree_item *item_start(struct syntax *syntax, struct span span, struct tree_hole hole,
                             enum start_kind kind) {
    struct tree_item *item = new_item(syntax, ITEM_START, span);
    item->hole = hole;
    item->start = kind;
    return item;
}

struct tree_item *item_tie(struct syntax *syntax, struct span span, struct tree_hole hole) {
    struct tree_item *item = new_item(syntax, ITEM_TIE, span);
    item->hole = hole;
    return item;
}

struct tree_item *item_option(struct syntax *syntax, struct span span,
                              const struct tree_option *option) {
    struct tree_item *item = new_item(syntax, ITEM_OPTION, span);
    item->option = *option;
    return item;
}

struct tree_name keyword_name(struct syntax *syntax, struct span span) {
    const char *bytes = syntax->source->bytes + (span.start - syntax->source->base);
    return (struct tree_name){arena_copy(syntax->arena, bytes, span.end - span.start), span};
}

void syntax_outside(struct syntax *syntax, struct span span) {
    (void)span;
    syntax->tree->damaged = true;
}
