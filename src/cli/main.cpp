// The program: runs a command, tells faults, leaves no half-written file behind when it is stopped.
#include <fcntl.h>
#include <signal.h>

#include <cstdio>
#include <exception>
#include <new>

#include "cli/commands.hpp"
#include "cli/terminal.hpp"
#include "etchcast/output.hpp"

namespace {

/// The handler is reset on entry and the signal not blocked, so raising it again ends the program as the caller
/// expects.
extern "C" void stop(int signal) {
  etchcast::remove_partial_files();
  raise(signal);
}

void watch_signals() {
  struct sigaction action = {};
  action.sa_handler = stop;
  action.sa_flags = int(SA_RESETHAND | SA_NODEFER);
  // All that end a program from outside and can be caught.
  for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGPIPE, SIGALRM, SIGVTALRM, SIGPROF, SIGXCPU, SIGUSR1, SIGUSR2}) {
    struct sigaction old = {};
    // Ignored from outside (nohup): leave it so.
    if (sigaction(signal, nullptr, &old) == 0 && old.sa_handler != SIG_IGN) sigaction(signal, &action, nullptr);
  }
  ::signal(SIGXFSZ, SIG_IGN);  // a file over the user's limit is then an error like a full disk, told and cleaned up
}

/// A descriptor that the caller closed would be the next file's number, and messages would go into a picture. It is
/// given to something that takes neither reading nor writing, so that its use is an error as before.
void hold_standard_descriptors() {
  for (const int number : {0, 1, 2})
    if (fcntl(number, F_GETFD) < 0) (void)open("/dev/null", number == 0 ? O_WRONLY : O_RDONLY);
}

}  // namespace

int main(int count, char** words) {
  using namespace etchcast;
  hold_standard_descriptors();
  watch_signals();
  try {
    return cli::run(count, words);
  } catch (const Error& error) {
    cli::print_error(error);
    return error.fault() == Fault::recipe ? 1 : 2;
  } catch (const std::bad_alloc&) {
    std::fputs("error: out of memory; a lower --resolution needs less\n", stderr);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "error: this should not happen and is a fault of the program: %s\n", error.what());
  }
  return 2;
}
