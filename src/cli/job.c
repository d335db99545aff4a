/* Jobs: read, compile, print findings; and what went wrong, in words. */
#define _POSIX_C_SOURCE 200809L /* flockfile */
#include "cli/job.h"

#include <errno.h>
#include <string.h>

static bool read_for(void *context, const char *path, struct selvage_text *text) {
    return files_read_used(context, path, text);
}

enum exit_status complain(const char *path, const char *what) {
    flockfile(stderr);
    fputs("selvage: ", stderr);
    for (; *path != '\0'; path++)
        fputc((unsigned char)*path < ' ' || *path == 0x7F ? '?' : *path, stderr);
    fprintf(stderr, ": %s\n", what);
    funlockfile(stderr);
    return EXIT_FILES;
}

enum exit_status worse(enum exit_status a, enum exit_status b) { return a > b ? a : b; }

const char *plural(size_t count) { return count == 1 ? "" : "s"; }

bool print(FILE *stream, struct selvage_text text) {
    return fwrite(text.bytes, 1, text.length, stream) == text.length && fflush(stream) == 0;
}

enum exit_status job_start(struct job *job, const struct arguments *arguments,
                           struct memory *memory, const char *path) {
    *job = (struct job){.path = path, .memory = memory};
    struct selvage_request request = {.name = strcmp(path, "-") == 0 ? "standard input" : path,
                                      .read = read_for,
                                      .context = &job->files,
                                      .pattern = arguments->pattern,
                                      .second = arguments->second,
                                      .string = arguments->string,
                                      .bench = arguments->bench,
                                      .sides = arguments->sides,
                                      .sides_where_any = arguments->verb == VERB_CATALOGUE,
                                      .settings = arguments->settings,
                                      .setting_count = arguments->setting_count,
                                      .findings_only = arguments->verb == VERB_CHECK,
                                      .layout_only = arguments->verb == VERB_FORMAT,
                                      .get_memory = memory_get,
                                      .put_memory = memory_put,
                                      .memory_context = memory};
    if (!files_read(&job->files, path, &request.text)) return complain(path, strerror(errno));
    job->text = request.text;
    job->compilation = selvage_compile(&request);
    bool sound = job->compilation != NULL && !selvage_lacked_memory(job->compilation) &&
                 !job->files.lacked_memory;
    if (!sound) return complain(path, "not enough memory");
    const char *misuse = selvage_misuse(job->compilation);
    if (misuse == NULL) return EXIT_DONE;
    fprintf(stderr, "selvage: %s: %s\n", path, misuse);
    return EXIT_USAGE;
}

void job_end(struct job *job) {
    selvage_free(job->compilation);
    files_free(&job->files);
    memory_reset(job->memory);
}

enum exit_status job_print_findings(struct job *job, const struct arguments *arguments) {
    struct selvage_text report;
    enum selvage_form form = arguments->colour_errors ? SELVAGE_COLOUR : SELVAGE_TEXT;
    if (!selvage_report(job->compilation, form, SELVAGE_WARNING, &report))
        return complain(job->path, "not enough memory");
    if (!print(stderr, report)) return EXIT_FILES;
    return selvage_errors(job->compilation) > 0 ? EXIT_FINDINGS : EXIT_DONE;
}

/* Where a pattern was asked for by name, whether the text has it. */
enum exit_status job_find_pattern(const struct job *job, const char *name, size_t *pattern) {
    size_t count = selvage_patterns(job->compilation);
    for (size_t i = 0; name != NULL && i < count; i++) {
        if (strcmp(selvage_pattern_name(job->compilation, i), name) != 0) continue;
        *pattern = i;
        return EXIT_DONE;
    }
    if (name == NULL && count == 1) {
        *pattern = 0;
        return EXIT_DONE;
    }
    if (count == 0)
        fprintf(stderr, "selvage: %s: there is no pattern in this file\n", job->path);
    else if (name != NULL)
        fprintf(stderr, "selvage: %s: there is no pattern called %s in this file; it holds:\n",
                job->path, name);
    else
        fprintf(stderr, "selvage: %s: this file holds several patterns; say which with -p:\n",
                job->path);
    job_list_patterns(job);
    return EXIT_USAGE;
}

void job_list_patterns(const struct job *job) {
    for (size_t i = 0; i < selvage_patterns(job->compilation); i++)
        fprintf(stderr, "  %s\n", selvage_pattern_name(job->compilation, i));
}

enum exit_status judge_result(const char *path, enum selvage_result result) {
    switch (result) {
    case SELVAGE_DONE: return EXIT_DONE;
    case SELVAGE_NO_MEMORY: return complain(path, "not enough memory");
    case SELVAGE_NO_LIBRARY:
        return complain(path,
                        "the order graph needs libcgraph of Graphviz, which is not installed");
    default:
        fprintf(stderr,
                "selvage: %s: the pattern has faults; nothing can be built on them, whatever "
                "is set aside\n",
                path);
        return EXIT_FINDINGS;
    }
}

enum exit_status judge_felt(const char *path, enum selvage_result result,
                            struct selvage_text text) {
    if (result == SELVAGE_NO_LIBRARY && text.bytes != NULL)
        return complain(
            path, "what the frame feels needs LAPACK (Debian package liblapack3), which is not "
                  "installed");
    if (result != SELVAGE_UNFIT) return judge_result(path, result);
    fprintf(stderr, "selvage: %s\n", text.bytes);
    return EXIT_FINDINGS;
}

enum exit_status judge_written(const char *path, enum written written) {
    if (written == WRITE_FAILED) return complain(path, strerror(errno));
    if (written != WRITE_REFUSED) return EXIT_DONE;
    fprintf(stderr, "selvage: %s is a source of this pattern and is not written over\n", path);
    return EXIT_USAGE;
}

enum exit_status job_write_output(const struct job *job, const char *to, struct selvage_text text) {
    if (to == NULL || strcmp(to, "-") == 0)
        return print(stdout, text) ? EXIT_DONE : complain("standard output", strerror(errno));
    return judge_written(to, file_write(&job->files, to, text));
}
