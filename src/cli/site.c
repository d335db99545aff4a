/* A folder of pages. */
#define _DEFAULT_SOURCE /* flock */
#define _POSIX_C_SOURCE 200809L
#include "cli/site.h"

#include "cli/job.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

static const char manifest_name[] = "selvage-catalogue.txt", part_name[] = "selvage-catalogue.part";

/* Among the first bytes of every page of a catalogue. */
static const char mark[] = "<meta name=\"generator\" content=\"Selvage catalogue\"";
enum { MARK_WITHIN = 1024 };

/* Of many names that many are told. */
enum { MOST_TOLD = 12 };

/* ---- paths ---- */

static char *path_in(const struct site *site, const char *a, const char *b, const char *c,
                     const char *d) {
    size_t room = strlen(site->folder) + strlen(a) + strlen(b) + strlen(c) + strlen(d) + 2;
    char *path = malloc(room);
    if (path != NULL) snprintf(path, room, "%s/%s%s%s%s", site->folder, a, b, c, d);
    return path;
}

/* Of a file of a pattern; to be freed, NULL where there is no memory. */
static char *page_path(const struct site *site, const char *name, int page) {
    if (*name == '\0') return path_in(site, "index.html", "", "", "");
    if (page == 0) return path_in(site, name, "/", "index.html", "");
    enum selvage_output output = (enum selvage_output)(page - 1);
    if (output == SELVAGE_PAGE) return path_in(site, name, "/", "bench.html", "");
    return path_in(site, name, "/", name, selvage_output_suffix(output));
}

static enum exit_status no_memory(const struct site *site) {
    return complain(site->folder, "not enough memory");
}

/* What keeps one file from being written keeps all from it. */
static enum exit_status stop(struct site *site, enum exit_status status) {
    site->stopped |= status == EXIT_FILES;
    return status;
}

/* ---- what is there ---- */

/* Whether a page is there that no catalogue wrote. */
static bool is_foreign(const char *path) {
    char bytes[MARK_WITHIN + 1];
    int descriptor = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOFOLLOW);
    if (descriptor < 0) return errno != ENOENT;
    ssize_t got = read(descriptor, bytes, MARK_WITHIN);
    close(descriptor);
    bytes[got > 0 ? got : 0] = '\0';
    return strstr(bytes, mark) == NULL;
}

/* Named, and left; of many some are. */
static enum exit_status refuse(struct site *site, const char *path, const char *why) {
    if (site->refused++ < MOST_TOLD) complain(path, why);
    return EXIT_USAGE;
}

static enum exit_status refuse_foreign(struct site *site, const char *path) {
    return refuse(site, path, "is there already and no catalogue wrote it; it is not written over");
}

static enum exit_status refuse_kind(struct site *site, const char *path, enum found_kind kind) {
    if (kind == FOUND_ERROR) return complain(path, strerror(errno));
    return refuse(site, path,
                  kind == FOUND_LINK   ? "is a link; a catalogue follows none"
                  : kind == FOUND_FILE ? "is not as the catalogue wrote it; it is left as it is"
                                       : "is something else than a catalogue makes; it is left");
}

/* What was written once and is as it was. An index by its mark, where nothing is known of it. */
static bool is_ours(const struct site *site, const char *path, const char *name, int page,
                    struct digest digest) {
    if (wrote_this(&site->wrote, name, page, digest)) return true;
    return *name == '\0' && wrote_last(&site->wrote, name, page).length == 0 && !is_foreign(path);
}

bool site_holds(const struct site *site, const struct made *made) {
    bool holds = true;
    for (int i = 0; holds && i < PAGES; i++) {
        struct stat status;
        char *path = page_path(site, made->name, i);
        holds = path != NULL && lstat(path, &status) == 0 && S_ISREG(status.st_mode) &&
                (size_t)status.st_size == made->wrote[i].length;
        free(path);
    }
    return holds;
}

bool site_read(const struct site *site, struct files *files, const char *name, int page,
               struct selvage_text *text) {
    char *path = page_path(site, name, page);
    bool got = path != NULL && files_read_used(files, path, text);
    free(path);
    return got && wrote_this(&site->wrote, name, page, digest_of(*text));
}

/* ---- opening ---- */

static enum exit_status read_manifest(struct site *site) {
    struct files files = {0};
    struct selvage_text text = {0};
    char *path = path_in(site, manifest_name, "", "", "");
    if (path == NULL) return no_memory(site);
    struct found found = find_kind(path);
    if (found.kind != FOUND_FILE && found.kind != FOUND_NOTHING) {
        enum exit_status status = refuse_kind(site, path, found.kind);
        free(path);
        return status;
    }
    bool got = files_read_used(&files, path, &text);
    bool sound = !files.lacked_memory;
    if (got && sound)
        sound = manifest_read(&site->before, text, site->wanted) &&
                wrote_add_all(&site->wrote, &site->before);
    site->begun = site->before.sound;
    files_free(&files);
    free(path);
    return sound ? EXIT_DONE : no_memory(site);
}

static enum exit_status lock_folder(struct site *site) {
    site->lock = open(site->folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (site->lock < 0) return complain(site->folder, strerror(errno));
    if (flock(site->lock, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK)
        return complain(site->folder, "another catalogue is being written there");
    return EXIT_DONE; /* a system that cannot lock a folder goes without */
}

enum exit_status site_open(struct site *site, const char *folder, struct digest wanted) {
    *site = (struct site){.folder = folder, .lock = -1, .wanted = wanted};
    if (!folder_make(folder)) return complain(folder, strerror(errno));
    enum exit_status status = lock_folder(site);
    if (status == EXIT_DONE) status = read_manifest(site);
    if (status != EXIT_DONE) return status;
    char *index = page_path(site, "", 0);
    site->part = path_in(site, part_name, "", "", "");
    if (index == NULL || site->part == NULL)
        status = no_memory(site);
    else if (!site->before.sound && is_foreign(index))
        status = refuse_foreign(site, index);
    else
        unlink(site->part); /* of a run that was ended */
    free(index);
    return status;
}

void site_close(struct site *site) {
    manifest_free(&site->before);
    wrote_free(&site->wrote);
    free(site->part);
    if (site->lock >= 0) close(site->lock);
}

/* ---- writing ---- */

/* Signals that end the command wait until a file is whole. */
static enum written write_whole(const struct site *site, const struct files *sources,
                                const char *path, struct selvage_text text) {
    sigset_t ending, before;
    sigemptyset(&ending);
    sigaddset(&ending, SIGINT);
    sigaddset(&ending, SIGTERM);
    sigaddset(&ending, SIGHUP);
    sigprocmask(SIG_BLOCK, &ending, &before);
    enum written written = file_write_by(sources, path, site->part, text);
    int error = errno;
    sigprocmask(SIG_SETMASK, &before, NULL);
    errno = error;
    return written;
}

static enum exit_status write_manifest(const struct site *site, const struct files *sources,
                                       const struct manifest *manifest) {
    size_t length;
    char *path = path_in(site, manifest_name, "", "", "");
    char *text = path != NULL ? manifest_text(manifest, site->wanted, &length) : NULL;
    enum exit_status status =
        text == NULL ? no_memory(site)
                     : judge_written(path, write_whole(site, sources, path,
                                                       (struct selvage_text){text, length}));
    free(text);
    free(path);
    return status;
}

static bool add_line(const char *path, const char *before, const char *line) {
    int descriptor = open(path, O_WRONLY | O_APPEND | O_CLOEXEC | O_NOFOLLOW);
    FILE *file = descriptor >= 0 ? fdopen(descriptor, "a") : NULL;
    if (file == NULL) {
        if (descriptor >= 0) close(descriptor);
        return false;
    }
    bool wrote = fprintf(file, "%s%s", before, line) > 0;
    return fclose(file) == 0 && wrote;
}

/* Behind the manifest, before the file is written: should this run end early, a later one knows
 * whose file that is. A note before it may be torn, so the first begins a line. */
static enum exit_status note_file(struct site *site, const char *name, int page,
                                  struct digest digest) {
    static const struct files none = {0};
    static const struct manifest empty = {0};
    if (wrote_this(&site->wrote, name, page, digest)) return EXIT_DONE;
    enum exit_status status = site->begun ? EXIT_DONE : write_manifest(site, &none, &empty);
    if (status != EXIT_DONE) return status;
    site->begun = true;
    char line[NOTE_ROOM], *path = path_in(site, manifest_name, "", "", "");
    if (path == NULL) return no_memory(site);
    print_note(line, name, page, digest);
    if (!add_line(path, site->noted ? "" : "\n", line)) status = complain(path, strerror(errno));
    site->noted = true;
    free(path);
    if (status == EXIT_DONE && !wrote_add(&site->wrote, name, page, digest)) return no_memory(site);
    return status;
}

static enum exit_status put_file(struct site *site, const struct files *sources, const char *path,
                                 struct selvage_text text) {
    enum written written = write_whole(site, sources, path, text);
    site->written += written == WRITE_DONE;
    site->unchanged += written == WRITE_UNCHANGED;
    return judge_written(path, written);
}

/* Whether a file may be written where something else is. */
static enum exit_status judge_file(struct site *site, const struct files *sources, const char *path,
                                   const char *name, int page, struct digest wanted) {
    struct found found = find_file(path);
    if (found.kind == FOUND_NOTHING) return EXIT_DONE;
    if (found.kind != FOUND_FILE) return refuse_kind(site, path, found.kind);
    if (digest_same(found.digest, wanted) || is_ours(site, path, name, page, found.digest))
        return EXIT_DONE;
    if (file_was_read(sources, &found.status)) return judge_written(path, WRITE_REFUSED);
    return refuse_kind(site, path, FOUND_FILE);
}

enum exit_status site_write(struct site *site, const struct files *sources, const char *name,
                            int page, struct selvage_text text, struct digest *wrote) {
    struct digest digest = digest_of(text);
    *wrote = wrote_last(&site->wrote, name, page);
    char *path = page_path(site, name, page);
    if (path == NULL) return no_memory(site);
    enum exit_status status = judge_file(site, sources, path, name, page, digest);
    if (status == EXIT_DONE) status = stop(site, note_file(site, name, page, digest));
    if (status == EXIT_DONE) status = stop(site, put_file(site, sources, path, text));
    free(path);
    if (status == EXIT_DONE) *wrote = digest;
    return status;
}

static enum exit_status judge_folder(struct site *site, const char *name) {
    enum exit_status status = EXIT_DONE;
    char *page = page_path(site, name, 0);
    if (page == NULL) return no_memory(site);
    bool ours = find_kind(page).kind == FOUND_FILE && !is_foreign(page);
    for (int i = 0; !ours && status == EXIT_DONE && i < PAGES; i++) {
        char *path = page_path(site, name, i);
        if (path == NULL)
            status = no_memory(site);
        else if (find_kind(path).kind != FOUND_NOTHING)
            status = refuse_foreign(site, path);
        free(path);
    }
    free(page);
    return status;
}

/* A folder that is there, or is made. */
static enum exit_status make_folder(struct site *site, const char *path) {
    struct found found = find_kind(path);
    if (found.kind == FOUND_FOLDER) return EXIT_DONE;
    if (found.kind == FOUND_FILE) return refuse_foreign(site, path);
    if (found.kind != FOUND_NOTHING) return refuse_kind(site, path, found.kind);
    return folder_make(path) ? EXIT_DONE : stop(site, complain(path, strerror(errno)));
}

enum exit_status site_begin(struct site *site, const char *name) {
    char *folder = path_in(site, name, "", "", "");
    if (folder == NULL) return no_memory(site);
    enum exit_status status = make_folder(site, folder);
    free(folder);
    bool known = table_find(&site->wrote.patterns, name) != NULL;
    return status != EXIT_DONE || known ? status : judge_folder(site, name);
}

/* ---- removing ---- */

static enum exit_status remove_file(struct site *site, const char *path, const char *name,
                                    int page) {
    struct found found = find_file(path);
    if (found.kind == FOUND_NOTHING) return EXIT_DONE;
    if (found.kind != FOUND_FILE || !is_ours(site, path, name, page, found.digest))
        return refuse_kind(site, path, found.kind);
    if (unlink(path) != 0) return complain(path, strerror(errno));
    site->removed++;
    return EXIT_DONE;
}

static enum exit_status remove_files(struct site *site, const char *name) {
    enum exit_status status = EXIT_DONE;
    for (int page = 0; page < PAGES; page++) {
        char *path = page_path(site, name, page);
        status =
            worse(status, path != NULL ? remove_file(site, path, name, page) : no_memory(site));
        free(path);
    }
    return status;
}

/* The folder stays where somebody else's files are in it. */
static enum exit_status remove_pattern(struct site *site, const char *name) {
    char *folder = path_in(site, name, "", "", "");
    if (folder == NULL) return no_memory(site);
    struct found found = find_kind(folder);
    enum exit_status status = EXIT_DONE;
    if (found.kind == FOUND_FOLDER) {
        status = remove_files(site, name);
        (void)rmdir(folder);
    } else if (found.kind != FOUND_NOTHING) {
        status = found.kind == FOUND_FILE ? refuse_foreign(site, folder)
                                          : refuse_kind(site, folder, found.kind);
    }
    free(folder);
    return status;
}

static int by_name(const void *left, const void *right) {
    return strcmp(*(const char *const *)left, *(const char *const *)right);
}

/* The patterns known that are not among `names`, in order; to be freed. NULL where there is no
 * memory. */
static const char **gone(const struct site *site, const struct table *names, size_t *count) {
    size_t room = 1;
    for (size_t i = 0; i < TABLE_BUCKETS; i++)
        for (const struct row *row = site->wrote.patterns.rows[i]; row != NULL; row = row->next)
            room++;
    const char **list = malloc(room * sizeof *list);
    *count = 0;
    for (size_t i = 0; list != NULL && i < TABLE_BUCKETS; i++)
        for (const struct row *row = site->wrote.patterns.rows[i]; row != NULL; row = row->next)
            if (table_find(names, row->key) == NULL) list[(*count)++] = row->key;
    if (list != NULL) qsort(list, *count, sizeof *list, by_name);
    return list;
}

static enum exit_status note_pattern(struct site *site, const char *name, struct manifest *now) {
    return wrote_note(&site->wrote, name, now) ? EXIT_DONE : no_memory(site);
}

/* What could not be removed is noted. */
static enum exit_status remove_patterns(struct site *site, const char *const *list, size_t count,
                                        struct manifest *now) {
    enum exit_status status = EXIT_DONE;
    size_t told = 0;
    for (size_t i = 0; i < count; i++) {
        size_t before = site->removed;
        enum exit_status one = remove_pattern(site, list[i]);
        if (one == EXIT_FILES) one = worse(one, note_pattern(site, list[i], now));
        status = worse(status, one);
        if (site->removed > before && told++ < MOST_TOLD)
            printf("%s/%s: removed\n", site->folder, list[i]);
    }
    if (told > MOST_TOLD) printf("%s: and %zu more removed\n", site->folder, told - MOST_TOLD);
    return status;
}

static enum exit_status note_patterns(struct site *site, const char *const *list, size_t count,
                                      struct manifest *now) {
    enum exit_status status = EXIT_DONE;
    for (size_t i = 0; status == EXIT_DONE && i < count; i++)
        status = note_pattern(site, list[i], now);
    return status;
}

/* ---- what is left over ---- */

/* Whether a folder of the site holds pages of a catalogue, and is none itself. */
static bool holds_pages(const struct site *site, const char *name) {
    char *folder = path_in(site, name, "", "", ""), *page = page_path(site, name, 0);
    char *inner = path_in(site, name, "/", manifest_name, "");
    bool holds = folder != NULL && page != NULL && inner != NULL &&
                 find_kind(folder).kind == FOUND_FOLDER && find_kind(page).kind == FOUND_FILE &&
                 !is_foreign(page) && find_kind(inner).kind == FOUND_NOTHING;
    free(folder);
    free(page);
    free(inner);
    return holds;
}

static int is_shown(const struct dirent *entry) { return entry->d_name[0] != '.'; }

/* Pages of patterns of which nothing is known, where a manifest was lost. */
static enum exit_status tell_left_over(struct site *site, const struct table *names) {
    struct dirent **list;
    int count = scandir(site->folder, &list, is_shown, alphasort), told = 0;
    if (count < 0) return complain(site->folder, strerror(errno));
    for (int i = 0; i < count; i++) {
        char *path = path_in(site, list[i]->d_name, "", "", "");
        bool unknown = table_find(names, list[i]->d_name) == NULL;
        if (path != NULL && unknown && holds_pages(site, list[i]->d_name) && told++ < MOST_TOLD)
            complain(path, "pages of a pattern that is gone; remove the folder if nobody wants it");
        free(path);
        free(list[i]);
    }
    if (told > MOST_TOLD)
        fprintf(stderr, "selvage: %s: and %d more such folders\n", site->folder, told - MOST_TOLD);
    free(list);
    return EXIT_DONE;
}

enum exit_status site_finish(struct site *site, const struct files *sources, struct manifest *now,
                             const struct table *names, bool unsure) {
    size_t count;
    const char **list = gone(site, names, &count);
    if (list == NULL) return no_memory(site);
    enum exit_status status =
        unsure ? note_patterns(site, list, count, now) : remove_patterns(site, list, count, now);
    free(list);
    if (!unsure) status = worse(status, tell_left_over(site, names));
    if (site->refused > MOST_TOLD)
        fprintf(stderr, "selvage: %s: and %zu more files that are left as they are\n", site->folder,
                site->refused - MOST_TOLD);
    return worse(status, write_manifest(site, sources, now));
}
