/* The manifest as text: a line for each thing, its kind first. What follows a kind has control
 * characters and % written as %XX, so that a line is a line. The last line sums up all before it;
 * behind it stand notes of files, which a later run adds before it writes them. */
#define _POSIX_C_SOURCE 200809L /* strndup */
#include "cli/manifest.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char first_line[] = "selvage catalogue 2";

/* ---- the parts ---- */

/* Room for one more in a list that doubles; NULL where there is none, and the list stays. */
static void *one_more(void *list, size_t count, size_t size) {
    bool full = (count & (count - 1)) == 0;
    return full ? realloc(list, (count > 0 ? 2 * count : 1) * size) : list;
}

struct entry *manifest_add(struct manifest *manifest, const char *path, struct digest digest) {
    struct entry *grown = one_more(manifest->entries, manifest->count, sizeof *grown);
    if (grown == NULL) return NULL;
    manifest->entries = grown;
    struct entry *entry = &grown[manifest->count];
    *entry = (struct entry){.path = strdup(path), .digest = digest};
    if (entry->path == NULL) return NULL;
    manifest->count++;
    return entry;
}

bool entry_add_use(struct entry *entry, const char *path, struct digest digest) {
    struct used_file *grown = one_more(entry->uses, entry->use_count, sizeof *grown);
    if (grown == NULL) return false;
    entry->uses = grown;
    char *copy = strdup(path);
    if (copy == NULL) return false;
    grown[entry->use_count++] = (struct used_file){copy, digest};
    return true;
}

struct made *entry_add_made(struct entry *entry, const char *name, const char *title) {
    struct made *grown = one_more(entry->made, entry->made_count, sizeof *grown);
    if (grown == NULL) return NULL;
    entry->made = grown;
    struct made *made = &grown[entry->made_count];
    *made = (struct made){.name = strdup(name), .title = strdup(title)};
    if (made->name == NULL || made->title == NULL) {
        made_free(made);
        return NULL;
    }
    entry->made_count++;
    return made;
}

bool manifest_add_note(struct manifest *manifest, const char *pattern, int page,
                       struct digest digest) {
    struct note *grown = one_more(manifest->notes, manifest->note_count, sizeof *grown);
    if (grown == NULL) return false;
    manifest->notes = grown;
    char *copy = strdup(pattern);
    if (copy == NULL) return false;
    grown[manifest->note_count++] = (struct note){copy, page, digest};
    return true;
}

void made_free(struct made *made) {
    free(made->name);
    free(made->title);
    free(made->card);
}

void entry_free(struct entry *entry) {
    for (size_t i = 0; i < entry->use_count; i++)
        free(entry->uses[i].path);
    for (size_t i = 0; i < entry->made_count; i++)
        made_free(&entry->made[i]);
    free(entry->uses);
    free(entry->made);
    free(entry->path);
    *entry = (struct entry){0};
}

void manifest_free(struct manifest *manifest) {
    for (size_t i = 0; i < manifest->count; i++)
        entry_free(&manifest->entries[i]);
    for (size_t i = 0; i < manifest->note_count; i++)
        free(manifest->notes[i].pattern);
    free(manifest->entries);
    free(manifest->notes);
    *manifest = (struct manifest){0};
}

static bool is_of(const struct entry *entry, const char *path) {
    return entry->path != NULL && strcmp(entry->path, path) == 0;
}

struct entry *manifest_find(struct manifest *manifest, const char *path) {
    for (size_t i = 0; i < manifest->count; i++) {
        size_t at = (manifest->next + i) % manifest->count; /* files come in their order */
        if (!is_of(&manifest->entries[at], path)) continue;
        manifest->next = at + 1;
        return &manifest->entries[at];
    }
    return NULL;
}

/* ---- writing ---- */

struct text {
    char *bytes;
    size_t length, room;
    bool failed;
};

static void text_add(struct text *text, const char *bytes, size_t length) {
    if (!text->failed && text->room - text->length < length) {
        size_t room = 2 * (text->length + length) + 256;
        char *grown = realloc(text->bytes, room);
        text->failed = grown == NULL;
        if (grown != NULL) *text = (struct text){grown, text->length, room, false};
    }
    if (text->failed) return;
    memcpy(text->bytes + text->length, bytes, length);
    text->length += length;
}

static bool is_plain(unsigned char byte) { return byte >= ' ' && byte != '%' && byte != 0x7F; }

static void add_line(struct text *text, const char *kind, const char *words) {
    text_add(text, kind, strlen(kind));
    text_add(text, " ", 1);
    while (*words != '\0') {
        const char *start = words;
        while (*words != '\0' && is_plain((unsigned char)*words))
            words++;
        text_add(text, start, (size_t)(words - start));
        if (*words == '\0') break;
        char escaped[8];
        int length = snprintf(escaped, sizeof escaped, "%%%02X", (unsigned)(unsigned char)*words++);
        text_add(text, escaped, (size_t)length);
    }
    text_add(text, "\n", 1);
}

enum { DIGEST_ROOM = 48 };

static void print_digest(char room[DIGEST_ROOM], struct digest digest) {
    snprintf(room, DIGEST_ROOM, "%016" PRIx64 "-%zu", digest.sum, digest.length);
}

static void add_digest(struct text *text, const char *kind, struct digest digest) {
    char words[DIGEST_ROOM];
    print_digest(words, digest);
    add_line(text, kind, words);
}

static void add_made(struct text *text, const struct made *made) {
    add_line(text, "pattern", made->name);
    add_line(text, "title", made->title);
    if (made->card != NULL) add_line(text, "card", made->card);
    for (int i = 0; i < PAGES; i++)
        add_digest(text, "wrote", made->wrote[i]);
}

void print_note(char line[NOTE_ROOM], const char *pattern, int page, struct digest digest) {
    char words[DIGEST_ROOM];
    print_digest(words, digest);
    snprintf(line, NOTE_ROOM, "note %s/%d %s\n", pattern, page, words);
}

static void add_notes(struct text *text, const struct manifest *manifest) {
    for (size_t i = 0; i < manifest->note_count; i++) {
        char line[NOTE_ROOM];
        const struct note *note = &manifest->notes[i];
        print_note(line, note->pattern, note->page, note->digest);
        text_add(text, line, strlen(line));
    }
}

char *manifest_text(const struct manifest *manifest, struct digest wanted, size_t *length) {
    struct text text = {0};
    text_add(&text, first_line, strlen(first_line));
    text_add(&text, "\n", 1);
    add_line(&text, "version", selvage_version());
    add_digest(&text, "wanted", wanted);
    add_digest(&text, "index", manifest->index);
    for (size_t i = 0; i < manifest->count; i++) {
        const struct entry *entry = &manifest->entries[i];
        add_line(&text, "file", entry->path);
        add_digest(&text, entry->again ? "again" : "digest", entry->digest);
        for (size_t k = 0; k < entry->use_count; k++) {
            add_line(&text, "use", entry->uses[k].path);
            add_digest(&text, "digest", entry->uses[k].digest);
        }
        for (size_t k = 0; k < entry->made_count; k++)
            add_made(&text, &entry->made[k]);
    }
    if (!text.failed)
        add_digest(&text, "end", digest_of((struct selvage_text){text.bytes, text.length}));
    add_notes(&text, manifest);
    if (text.failed) {
        free(text.bytes);
        return NULL;
    }
    *length = text.length;
    return text.bytes;
}

/* ---- reading ---- */

struct reading {
    struct manifest *manifest;
    struct digest wanted;
    const char *start, *at, *end;
    char *kind, *words; /* of the line at work */
    struct entry *entry;
    struct used_file *use; /* whose digest comes next */
    struct made *made;
    int wrote; /* files of `made` */
    bool version, closed, no_memory;
};

static int hex_value(char digit) {
    return digit >= '0' && digit <= '9'   ? digit - '0'
           : digit >= 'A' && digit <= 'F' ? digit - 'A' + 10
                                          : -1;
}

/* Takes %XX back, in place. */
static bool unescape(char *words) {
    char *out = words;
    for (; *words != '\0'; words++) {
        if (*words != '%') {
            *out++ = *words;
            continue;
        }
        int high = hex_value(words[1]), low = high < 0 ? -1 : hex_value(words[2]);
        if (low < 0 || high + low == 0) return false;
        *out++ = (char)(high * 16 + low);
        words += 2;
    }
    *out = '\0';
    return true;
}

/* The next line as kind and words; false at the end, and where it is none. To be freed by way of
 * `kind`. */
static bool next_line(struct reading *r) {
    free(r->kind);
    r->kind = NULL;
    const char *line_end = r->at < r->end ? memchr(r->at, '\n', (size_t)(r->end - r->at)) : NULL;
    if (line_end == NULL) return false;
    size_t length = (size_t)(line_end - r->at);
    if (memchr(r->at, '\0', length) != NULL) return false;
    r->kind = strndup(r->at, length);
    r->no_memory |= r->kind == NULL;
    r->at = line_end + 1;
    char *blank = r->kind != NULL ? strchr(r->kind, ' ') : NULL;
    if (blank == NULL) return false;
    *blank = '\0';
    r->words = blank + 1;
    return unescape(r->words);
}

static bool scan_digest(const char *words, struct digest *digest) {
    char again[DIGEST_ROOM];
    if (sscanf(words, "%16" SCNx64 "-%zu", &digest->sum, &digest->length) != 2) return false;
    print_digest(again, *digest);
    return strcmp(again, words) == 0;
}

/* As the language has names; a folder is called so. */
static bool is_name(const char *words) {
    static const char letters[] = "abcdefghijklmnopqrstuvwxyz0123456789_-";
    size_t length = strspn(words, letters);
    return length > 0 && length <= NAME_MOST && words[length] == '\0';
}

static bool take_entry_line(struct reading *r) {
    const char *kind = r->kind;
    struct digest none = {0};
    if (strcmp(kind, "file") == 0) {
        r->entry = manifest_add(r->manifest, r->words, none);
        r->no_memory |= r->entry == NULL;
        r->use = NULL;
        r->made = NULL;
        return r->entry != NULL;
    }
    if (r->entry == NULL) return false;
    if (strcmp(kind, "again") == 0 || strcmp(kind, "digest") == 0) {
        r->entry->again |= kind[0] == 'a';
        return scan_digest(r->words, r->use != NULL ? &r->use->digest : &r->entry->digest);
    }
    if (strcmp(kind, "use") == 0) {
        if (!entry_add_use(r->entry, r->words, none)) {
            r->no_memory = true;
            return false;
        }
        r->use = &r->entry->uses[r->entry->use_count - 1];
        return true;
    }
    return false;
}

static bool take_made_line(struct reading *r) {
    const char *kind = r->kind;
    if (strcmp(kind, "pattern") == 0) {
        if (r->entry == NULL || !is_name(r->words)) return false;
        r->made = entry_add_made(r->entry, r->words, "");
        r->no_memory |= r->made == NULL;
        r->wrote = 0;
        return r->made != NULL;
    }
    if (r->made == NULL) return false;
    if (strcmp(kind, "wrote") == 0)
        return r->wrote < PAGES && scan_digest(r->words, &r->made->wrote[r->wrote++]);
    char **slot = strcmp(kind, "title") == 0  ? &r->made->title
                  : strcmp(kind, "card") == 0 ? &r->made->card
                                              : NULL;
    if (slot == NULL) return false;
    free(*slot);
    *slot = strdup(r->words);
    r->no_memory |= *slot == NULL;
    return *slot != NULL;
}

/* "NAME/PAGE DIGEST" */
static void take_note(struct reading *r) {
    if (strcmp(r->kind, "note") != 0) return;
    char *slash = strchr(r->words, '/'), *blank = strchr(r->words, ' ');
    if (slash == NULL || blank != slash + 2) return;
    *slash = *blank = '\0';
    struct digest digest;
    int page = slash[1] - '0';
    bool named = is_name(r->words) || (*r->words == '\0' && page == 0);
    if (!named || page < 0 || page >= PAGES || !scan_digest(blank + 1, &digest)) return;
    r->no_memory |= !manifest_add_note(r->manifest, r->words, page, digest);
}

/* The line that sums up what stands before it. */
static bool take_end(struct reading *r, const char *line) {
    struct digest digest;
    r->closed = true;
    return scan_digest(r->words, &digest) &&
           digest_same(digest,
                       digest_of((struct selvage_text){r->start, (size_t)(line - r->start)}));
}

static bool take_line(struct reading *r, const char *line) {
    struct digest digest;
    if (strcmp(r->kind, "end") == 0) return take_end(r, line);
    if (strcmp(r->kind, "version") == 0) {
        r->version = strcmp(r->words, selvage_version()) == 0;
        return true;
    }
    if (strcmp(r->kind, "index") == 0) return scan_digest(r->words, &r->manifest->index);
    if (strcmp(r->kind, "wanted") == 0) {
        if (!scan_digest(r->words, &digest)) return false;
        r->manifest->current = r->version && digest_same(digest, r->wanted);
        return true;
    }
    return take_made_line(r) || take_entry_line(r);
}

static bool begins_right(const struct selvage_text *text) {
    size_t length = strlen(first_line);
    return text->length > length && memcmp(text->bytes, first_line, length) == 0 &&
           text->bytes[length] == '\n';
}

bool manifest_read(struct manifest *manifest, struct selvage_text text, struct digest wanted) {
    *manifest = (struct manifest){0};
    if (!begins_right(&text)) return true;
    struct reading r = {.manifest = manifest,
                        .wanted = wanted,
                        .start = text.bytes,
                        .at = text.bytes + strlen(first_line) + 1,
                        .end = text.bytes + text.length};
    bool good = true;
    while (good && !r.closed) {
        const char *line = r.at;
        good = next_line(&r) && take_line(&r, line);
    }
    /* A note may be torn, where the machine stopped. */
    for (const char *line = NULL; good && line != r.at;) {
        line = r.at;
        if (next_line(&r)) take_note(&r);
    }
    free(r.kind);
    if (!good) manifest_free(manifest);
    manifest->sound = good;
    return !r.no_memory;
}
