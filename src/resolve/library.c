/* Names: who defines what, twice or not at all. */
#include "resolve/library.h"

#include "ground/nearest.h"

#include <string.h>

/* MOST_COMPARED: names a misspelt one is held against; MOST_COMPARISONS: of all misspelt ones. */
enum { FIRST_ROOM = 32, MOST_COMPARED = 200, MOST_COMPARISONS = 20000 };

static void set_room(struct library *library, size_t room);

struct library library_in(struct arena *arena, struct report *report) {
    struct library library = {.arena = arena, .report = report};
    library.assumed_bench = arena_one(arena, struct bench);
    *library.assumed_bench =
        (struct bench){.clamps = {ASSUMED_FIXED_CLAMPS, ASSUMED_STARTING_CLAMPS},
                       .reach = ASSUMED_REACH,
                       .pace = ASSUMED_PACE};
    set_room(&library, FIRST_ROOM);
    return library;
}

static const char *kind_word(enum definition_kind kind) {
    static const char *const words[] = {"use", "frame", "string", "bench", "pattern"};
    return words[kind];
}

/* FNV-1a over kind and name. */
static size_t hash(enum definition_kind kind, const char *name) {
    uint32_t value = (2166136261u ^ (uint32_t)kind) * 16777619u;
    for (; *name != '\0'; name++)
        value = (value ^ (unsigned char)*name) * 16777619u;
    return value;
}

/* The place in the table of a kind and name, or the empty one where it would stand. */
static uint32_t *place_of(const struct library *library, enum definition_kind kind,
                          const char *name) {
    size_t at = hash(kind, name) & (library->table_room - 1);
    for (; library->table[at] != 0; at = (at + 1) & (library->table_room - 1)) {
        const struct tree_definition *d = library->entries.at[library->table[at] - 1].definition;
        if (d->kind == kind && strcmp(d->name.text, name) == 0) break;
    }
    return &library->table[at];
}

static struct entry *find(const struct library *library, enum definition_kind kind,
                          const char *name) {
    uint32_t number = *place_of(library, kind, name);
    return number != 0 ? &library->entries.at[number - 1] : NULL;
}

static void set_room(struct library *library, size_t room) {
    library->table = arena_many(library->arena, uint32_t, room);
    library->table_room = room;
    for (size_t i = 0; i < library->entries.count; i++) {
        const struct tree_definition *d = library->entries.at[i].definition;
        *place_of(library, d->kind, d->name.text) = (uint32_t)i + 1;
    }
}

static struct entry *add(struct library *library, const struct tree_definition *definition) {
    if (2 * library->entries.count >= library->table_room)
        set_room(library, 2 * library->table_room);
    struct entry *entry = array_add(library->arena, &library->entries);
    entry->definition = definition;
    *place_of(library, definition->kind, definition->name.text) = (uint32_t)library->entries.count;
    return entry;
}

void library_add(struct library *library, const struct tree *tree, bool own) {
    if (tree->damaged) library->damaged = true;
    for (const struct tree_definition *d = tree->definitions; d != NULL; d = d->next) {
        if (d->kind == DEFINE_USE) continue;
        /* The patterns of a used file are its own affair; what they could clash with is not here.
         */
        if (d->kind == DEFINE_PATTERN && !own) continue;
        struct entry *before = find(library, d->kind, d->name.text);
        if (before != NULL) {
            struct finding *finding =
                report_add(library->report, RULE_name_twice, d->name.span, "two %s are called %s",
                           format(library->arena, "%s%s", kind_word(d->kind),
                                  d->kind == DEFINE_BENCH ? "es" : "s"),
                           d->name.text);
            finding_note(library->report, finding, before->definition->name.span, "the other one");
            finding_help(library->report, finding, "give one of them another name");
            continue;
        }
        add(library, d)->own = own;
    }
}

struct entry *library_look(struct library *library, enum definition_kind kind, const char *name) {
    struct entry *entry = find(library, kind, name);
    if (entry != NULL) entry->used = true;
    return entry;
}

static size_t names_of(const struct library *library, enum definition_kind kind,
                       const char *names[MOST_COMPARED]) {
    size_t count = 0;
    for (size_t i = 0; i < library->entries.count && count < MOST_COMPARED; i++)
        if (library->entries.at[i].definition->kind == kind)
            names[count++] = library->entries.at[i].definition->name.text;
    return count;
}

const char *library_nearest(struct library *library, enum definition_kind kind, const char *name) {
    const char *names[MOST_COMPARED];
    return nearest_of(name, names, names_of(library, kind, names));
}

struct entry *library_find(struct library *library, enum definition_kind kind,
                           struct tree_name name) {
    struct entry *entry = library_look(library, kind, name.text);
    if (entry != NULL) return entry;
    const char *names[MOST_COMPARED];
    size_t count = names_of(library, kind, names);
    bool enough = library->compared >= MOST_COMPARISONS;
    const char *nearest = enough ? NULL : nearest_of(name.text, names, count);
    library->compared += count;
    if (library->damaged && nearest == NULL) return NULL; /* it may stand in what is not read */
    struct finding *finding = report_add(library->report, RULE_name_unknown, name.span,
                                         "there is no %s called %s", kind_word(kind), name.text);
    if (nearest != NULL) finding_help(library->report, finding, "did you mean %s?", nearest);
    if (nearest != NULL)
        finding_fix(library->report, finding, false, name.span, "%s", nearest);
    else if (count == 0)
        finding_help(library->report, finding,
                     "define it with: %s %s { ... }, or use the file that does", kind_word(kind),
                     name.text);
    return NULL;
}

struct note_line *collect_notes(struct arena *arena, const struct tree_line *lines) {
    struct note_line *first = NULL, **last = &first;
    for (; lines != NULL; lines = lines->next) {
        if (lines->kind != LINE_NOTE) continue;
        struct note_line *note = arena_one(arena, struct note_line);
        note->text = lines->as.name.text;
        *last = note;
        last = &note->next;
    }
    return first;
}

void library_judge_unused(struct library *library) {
    bool any_pattern = false;
    for (size_t i = 0; i < library->entries.count; i++)
        any_pattern |= library->entries.at[i].definition->kind == DEFINE_PATTERN;
    for (size_t i = 0; any_pattern && i < library->entries.count; i++) {
        const struct entry *entry = &library->entries.at[i];
        const struct tree_definition *d = entry->definition;
        if (!entry->own || entry->used || d->kind == DEFINE_PATTERN) continue;
        struct finding *finding =
            report_add(library->report, RULE_definition_unused, d->name.span,
                       "no pattern of this file uses the %s %s", kind_word(d->kind), d->name.text);
        finding_help(library->report, finding,
                     "take it out, or into a file of its own that others "
                     "use");
    }
}
