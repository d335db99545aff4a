/* catalogue: pages of every pattern below some folders, with an index. A file is compiled again
 * only where it or a file it uses has changed, or something that was made of it is gone. */
#define _POSIX_C_SOURCE 200809L
#include "cli/job.h"
#include "cli/place.h"
#include "cli/site.h"
#include "cli/verbs.h"
#include "cli/walk.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

struct catalogue {
    const struct arguments *arguments;
    struct memory memory;
    struct site site;
    struct manifest now;
    struct table names;   /* of patterns, and the files they are from */
    struct table digests; /* of files that others use, as they are now */
    struct files sources; /* all that were read, without what they hold */
    bool unsure;          /* not every file could be looked at: nothing is taken for gone */
    bool failed;          /* for want of memory or room: index and manifest stay as they are */
};

/* ---- what the pages depend on besides the files ---- */

static struct digest add_words(struct digest digest, const char *words) {
    return digest_more(digest, words != NULL ? words : "", words != NULL ? strlen(words) + 1 : 1);
}

/* The command itself, where the system shows it: one that was built anew may write other pages.
 * False where there is no memory. */
static bool add_command(struct digest *digest) {
    struct files files = {0};
    struct selvage_text text;
    if (files_read_used(&files, "/proc/self/exe", &text))
        *digest = digest_more(*digest, text.bytes, text.length);
    files_free(&files);
    return !files.lacked_memory;
}

static bool wanted_of(const struct arguments *arguments, struct digest *digest) {
    char sides = (char)('0' + arguments->sides), bed = arguments->bed ? '1' : '0';
    *digest = add_words(digest_begin(), arguments->string);
    *digest = add_words(*digest, arguments->bench);
    *digest = digest_more(*digest, &sides, 1);
    *digest = digest_more(*digest, &bed, 1);
    for (size_t i = 0; i < arguments->setting_count; i++) {
        char severity = (char)('0' + arguments->settings[i].severity);
        *digest = digest_more(*digest, &severity, 1);
        *digest = add_words(*digest, arguments->settings[i].what);
    }
    return add_command(digest);
}

/* ---- the folders asked for ---- */

static bool is_folder(const char *path) {
    struct stat status;
    return stat(path, &status) == 0 && S_ISDIR(status.st_mode);
}

/* Pages are not put among the patterns, where the next run would look for some. */
static enum exit_status judge_places(const struct arguments *arguments) {
    char *site = place_of(arguments->to);
    if (site == NULL) return complain(arguments->to, strerror(errno));
    enum exit_status status = EXIT_DONE;
    for (int i = 0; status == EXIT_DONE && i < arguments->file_count; i++) {
        const char *path = arguments->files[i];
        if (!is_folder(path)) continue;
        char *folder = place_of(path);
        if (folder == NULL) {
            status = complain(path, strerror(errno));
        } else if (place_within(site, folder)) {
            fprintf(stderr,
                    "selvage: %s: the catalogue of %s cannot be put into that folder; choose one "
                    "beside it\n",
                    arguments->to, path);
            status = EXIT_USAGE;
        }
        free(folder);
    }
    free(site);
    return status;
}

/* ---- files as they are now ---- */

/* Lets go of what files hold, but not of which they are. */
static void keep_identity(struct catalogue *c, struct files *files) {
    for (struct file *file = files->first, *next; file != NULL; file = next) {
        next = file->next;
        free(file->bytes);
        file->bytes = NULL;
        file->next = c->sources.first;
        c->sources.first = file;
    }
    files->first = NULL;
}

/* Whether a file that others use is as it was; it is read once in a run. */
static bool used_is_same(struct catalogue *c, const struct used_file *used) {
    struct row *row = table_find(&c->digests, used->path);
    if (row == NULL) {
        struct files files = {0};
        struct selvage_text text;
        row = table_add(&c->digests, used->path);
        if (row == NULL) return false;
        row->there = files_read_used(&files, used->path, &text);
        if (row->there) row->digest = digest_of(text);
        keep_identity(c, &files);
    }
    return row->there && digest_same(row->digest, used->digest);
}

/* Whether what was made of a file would be made again. */
static bool is_same(struct catalogue *c, const struct entry *entry) {
    if (!c->site.before.current || entry->again) return false;
    struct files files = {0};
    struct selvage_text text;
    bool same =
        files_read(&files, entry->path, &text) && digest_same(digest_of(text), entry->digest);
    keep_identity(c, &files);
    for (size_t i = 0; same && i < entry->use_count; i++)
        same = used_is_same(c, &entry->uses[i]);
    for (size_t i = 0; same && i < entry->made_count; i++)
        same = site_holds(&c->site, &entry->made[i]);
    return same;
}

/* ---- names ---- */

/* Two patterns of one name would have one folder. */
static enum exit_status claim_name(struct catalogue *c, const char *path, const char *name) {
    struct row *row = table_find(&c->names, name);
    if (row == NULL) {
        row = table_add(&c->names, name);
        if (row == NULL) return complain(path, "not enough memory");
        row->owner = path;
        return EXIT_DONE;
    }
    fprintf(stderr, "selvage: %s: pattern %s is in the catalogue already, from %s\n", path, name,
            strcmp(row->owner, path) == 0 ? "this file: it is named twice" : row->owner);
    return EXIT_USAGE;
}

/* ---- what is kept ---- */

/* Takes the entry over as it is; patterns whose names are taken by now are dropped from it, without
 * a word where the file could not be looked at: they may have moved. */
static enum exit_status keep_entry(struct catalogue *c, struct entry *old, bool unseen) {
    struct entry *entry = manifest_add(&c->now, old->path, old->digest);
    if (entry == NULL) {
        c->failed = true;
        return complain(old->path, "not enough memory");
    }
    char *path = entry->path;
    free(old->path);
    *entry = *old;
    entry->path = path;
    entry->again |= unseen;
    *old = (struct entry){0};
    enum exit_status status = EXIT_DONE;
    size_t kept = 0;
    for (size_t i = 0; i < entry->made_count; i++) {
        struct made *made = &entry->made[i];
        bool elsewhere = unseen && table_find(&c->names, made->name) != NULL;
        enum exit_status claimed = elsewhere ? EXIT_USAGE : claim_name(c, path, made->name);
        c->failed |= claimed == EXIT_FILES;
        if (!elsewhere) status = worse(status, claimed);
        if (claimed == EXIT_DONE) {
            entry->made[kept++] = *made;
            c->site.unchanged += PAGES;
        } else {
            made_free(made);
        }
    }
    if (kept < entry->made_count) entry->again = true;
    entry->made_count = kept;
    return status;
}

/* A file that cannot be looked at now: what was made of it stays. */
static enum exit_status keep_unseen(struct catalogue *c, const char *path) {
    struct entry *old = manifest_find(&c->site.before, path);
    return old != NULL ? keep_entry(c, old, true) : EXIT_DONE;
}

/* ---- what is made ---- */

static char *copy_of(struct selvage_text text) {
    char *copy = malloc(text.length + 1);
    if (copy == NULL) return NULL;
    memcpy(copy, text.bytes, text.length);
    copy[text.length] = '\0';
    return copy;
}

/* The page of a pattern or one of its outputs, made and written. */
static enum exit_status make_page(struct catalogue *c, const struct job *job, size_t pattern,
                                  struct made *made, int page) {
    struct files before = {0};
    struct selvage_text previous = {0}, text;
    enum selvage_output output = (enum selvage_output)(page - 1);
    if (page > 0 && output == SELVAGE_ORDER &&
        !site_read(&c->site, &before, made->name, page, &previous))
        previous.length = 0;
    enum exit_status status = judge_result(
        job->path, page == 0 ? selvage_catalogue_page(job->compilation, pattern, &text)
                             : selvage_emit(job->compilation, pattern, output, &previous, &text));
    if (status == EXIT_DONE)
        status = site_write(&c->site, &job->files, made->name, page, text, &made->wrote[page]);
    files_free(&before);
    return status;
}

static enum exit_status make_card(const struct job *job, size_t pattern, struct made *made) {
    struct selvage_text text;
    enum exit_status status =
        judge_result(job->path, selvage_catalogue_card(job->compilation, pattern, &text));
    if (status != EXIT_DONE) return status;
    made->card = copy_of(text);
    return made->card != NULL ? EXIT_DONE : complain(job->path, "not enough memory");
}

/* One file that is somebody else's keeps no other from being written. */
static bool goes_on(enum exit_status status) { return status == EXIT_DONE || status == EXIT_USAGE; }

/* Where it cannot be told what the frame feels, the page says why. */
static enum exit_status feel(const struct catalogue *c, const struct job *job, size_t pattern) {
    struct selvage_text text = {0};
    if (!c->arguments->bed) return EXIT_DONE;
    enum selvage_result result = selvage_feel(job->compilation, pattern, &text);
    return result == SELVAGE_UNFIT ? EXIT_DONE : judge_felt(job->path, result, text);
}

static enum exit_status make_pattern(struct catalogue *c, const struct job *job, size_t pattern,
                                     struct entry *entry) {
    const char *name = selvage_pattern_name(job->compilation, pattern);
    enum exit_status status = claim_name(c, entry->path, name);
    if (status == EXIT_DONE) status = feel(c, job, pattern);
    if (status == EXIT_DONE) status = site_begin(&c->site, name);
    if (status != EXIT_DONE) return status;
    struct made *made =
        entry_add_made(entry, name, selvage_pattern_title(job->compilation, pattern));
    if (made == NULL) return complain(job->path, "not enough memory");
    for (int page = 0; goes_on(status) && page < PAGES; page++)
        status = worse(status, make_page(c, job, pattern, made, page));
    return goes_on(status) ? worse(status, make_card(job, pattern, made)) : status;
}

static enum exit_status make_patterns(struct catalogue *c, const struct job *job,
                                      struct entry *entry) {
    enum exit_status status = EXIT_DONE;
    for (size_t i = 0; !c->site.stopped && i < selvage_patterns(job->compilation); i++) {
        if (selvage_pattern_ready(job->compilation, i)) {
            status = worse(status, make_pattern(c, job, i, entry));
            continue;
        }
        fprintf(stderr, "selvage: %s: pattern %s is not built\n", job->path,
                selvage_pattern_name(job->compilation, i));
        status = worse(status, EXIT_FINDINGS);
    }
    return status;
}

/* The entry of a file that was read, with what it uses. */
static struct entry *add_entry(struct catalogue *c, const struct job *job) {
    struct entry *entry = manifest_add(&c->now, job->path, digest_of(job->text));
    bool sound = entry != NULL;
    if (sound) entry->again = true; /* until it is known to be whole */
    for (const struct file *file = job->files.first; sound && file != NULL; file = file->next)
        if (file->next != NULL) /* the last in the list was read first: it is the file itself */
            sound = entry_add_use(entry, file->path,
                                  digest_of((struct selvage_text){file->bytes, file->length}));
    if (!sound) complain(job->path, "not enough memory");
    return sound ? entry : NULL;
}

static enum exit_status compile_file(struct catalogue *c, const char *path) {
    struct job job;
    enum exit_status status = job_start(&job, c->arguments, &c->memory, path);
    if (status == EXIT_FILES) {
        c->failed |= job.text.bytes != NULL || job.files.lacked_memory;
        c->unsure = true;
        job_end(&job);
        return worse(status, keep_unseen(c, path));
    }
    struct entry *entry = add_entry(c, &job);
    if (entry == NULL) {
        c->failed = true;
        job_end(&job);
        return EXIT_FILES;
    }
    job.files.beside = &c->sources;
    if (status == EXIT_DONE) {
        status = job_print_findings(&job, c->arguments);
        status = worse(status, make_patterns(c, &job, entry));
    }
    entry->again = status != EXIT_DONE;
    c->failed |= status == EXIT_FILES;
    keep_identity(c, &job.files);
    job_end(&job);
    return status;
}

static enum exit_status take_file(struct catalogue *c, const char *path) {
    struct entry *old = manifest_find(&c->site.before, path);
    if (old != NULL && is_same(c, old)) return keep_entry(c, old, false);
    enum exit_status status = compile_file(c, path);
    if (old != NULL) entry_free(old);
    return status;
}

static enum exit_status take_files(struct catalogue *c) {
    enum exit_status status = EXIT_DONE;
    struct walk walk;
    walk_open(&walk, c->arguments->files);
    for (;;) {
        int error;
        char *path = walk_next(&walk, &error);
        if (error != 0) {
            status = worse(status, complain(path != NULL ? path : "catalogue", strerror(error)));
            c->unsure = true;
        } else if (path != NULL) {
            status = worse(status, take_file(c, path));
        }
        bool more = path != NULL && !c->site.stopped;
        free(path);
        if (!more) break;
    }
    c->unsure |= walk.bare;
    walk_close(&walk);
    return walk.bare ? worse(status, EXIT_USAGE) : status;
}

/* Where not everything could be looked at, what is not seen is not gone. */
static enum exit_status keep_rest(struct catalogue *c) {
    enum exit_status status = EXIT_DONE;
    for (size_t i = 0; c->unsure && i < c->site.before.count; i++) {
        struct entry *entry = &c->site.before.entries[i];
        if (entry->path != NULL) status = worse(status, keep_entry(c, entry, true));
    }
    return status;
}

/* ---- the index ---- */

static int compare_titles(const char *a, const char *b) {
    for (;; a++, b++) {
        int left = (unsigned char)*a, right = (unsigned char)*b;
        if (left >= 'A' && left <= 'Z') left += 'a' - 'A';
        if (right >= 'A' && right <= 'Z') right += 'a' - 'A';
        if (left != right || left == 0) return left - right;
    }
}

static int by_title(const void *left, const void *right) {
    const struct made *const *a = left, *const *b = right;
    int order = compare_titles((*a)->title, (*b)->title);
    return order != 0 ? order : strcmp((*a)->name, (*b)->name);
}

/* Everything that is listed, in order; to be freed, NULL where there is no memory. */
static const struct made **listed(const struct catalogue *c, size_t *count) {
    size_t room = 1;
    for (size_t i = 0; i < c->now.count; i++)
        room += c->now.entries[i].made_count;
    const struct made **list = malloc(room * sizeof *list);
    *count = 0;
    for (size_t i = 0; list != NULL && i < c->now.count; i++)
        for (size_t k = 0; k < c->now.entries[i].made_count; k++)
            if (c->now.entries[i].made[k].card != NULL)
                list[(*count)++] = &c->now.entries[i].made[k];
    if (list != NULL) qsort(list, *count, sizeof *list, by_title);
    return list;
}

/* Writes the pieces one after another where `to` is not NULL; how long they are. */
static size_t join_index(enum selvage_sides sides, const struct made *const *list, size_t count,
                         char *to) {
    size_t length = 0;
    const char *part;
    for (size_t i = 0; (part = selvage_catalogue_head(sides, i)) != NULL;
         i++, length += strlen(part))
        if (to != NULL) memcpy(to + length, part, strlen(part));
    for (size_t i = 0; i < count; i++) {
        if (to != NULL) memcpy(to + length, list[i]->card, strlen(list[i]->card));
        length += strlen(list[i]->card);
    }
    for (size_t i = 0; (part = selvage_catalogue_tail(i)) != NULL; i++, length += strlen(part))
        if (to != NULL) memcpy(to + length, part, strlen(part));
    return length;
}

static enum exit_status write_index(struct catalogue *c, size_t *count) {
    const struct made **list = listed(c, count);
    enum selvage_sides sides = c->arguments->sides;
    size_t length = list != NULL ? join_index(sides, list, *count, NULL) : 0;
    char *text = list != NULL ? malloc(length) : NULL;
    enum exit_status status;
    if (text == NULL) {
        status = complain(c->site.folder, "not enough memory");
    } else {
        join_index(sides, list, *count, text);
        status = site_write(&c->site, &c->sources, "", 0, (struct selvage_text){text, length},
                            &c->now.index);
    }
    free(text);
    free(list);
    return status;
}

/* ---- the whole ---- */

/* The index, and what is gone; where something failed they stay as they are, for the next run. */
static enum exit_status finish(struct catalogue *c, size_t *patterns) {
    enum exit_status status = c->failed ? EXIT_FILES : write_index(c, patterns);
    c->failed |= !goes_on(status);
    if (c->failed) {
        complain(c->site.folder, "not everything could be made; the index is left as it was");
        return EXIT_FILES;
    }
    if (c->unsure)
        complain(c->site.folder, "not everything asked for is there, so no page is removed");
    return worse(status, site_finish(&c->site, &c->sources, &c->now, &c->names, c->unsure));
}

static enum exit_status make_catalogue(struct catalogue *c) {
    size_t patterns = 0;
    enum exit_status status = take_files(c);
    status = worse(status, keep_rest(c));
    status = worse(status, finish(c, &patterns));
    const struct site *site = &c->site;
    if (!c->failed)
        printf("%s: %zu pattern%s, %zu file%s written, %zu unchanged, %zu removed\n", site->folder,
               patterns, plural(patterns), site->written, plural(site->written), site->unchanged,
               site->removed);
    if (fflush(stdout) != 0) status = worse(status, complain("standard output", strerror(errno)));
    return status;
}

enum exit_status run_catalogue(const struct arguments *arguments) {
    struct catalogue c = {.arguments = arguments};
    enum exit_status status = judge_places(arguments);
    if (status != EXIT_DONE) return status;
    struct digest wanted;
    if (!wanted_of(arguments, &wanted)) return complain("catalogue", "not enough memory");
    status = site_open(&c.site, arguments->to, wanted);
    if (status == EXIT_DONE) {
        memory_open(&c.memory, ROOM_TO_EMIT);
        status = make_catalogue(&c);
        memory_close(&c.memory);
    }
    site_close(&c.site);
    manifest_free(&c.now);
    table_free(&c.names);
    table_free(&c.digests);
    files_free(&c.sources);
    return status;
}
