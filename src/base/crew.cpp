#include "base/crew.h"

#include <unistd.h>

#include <algorithm>
#include <system_error>

namespace scrapetrace {

Crew& Crew::of_process() {
  // Never destroyed: where the threads are another process's, that would wait for them for ever.
  static Crew* const crew = new Crew;
  return *crew;
}

Crew::~Crew() {
  {
    const std::scoped_lock lock(mutex_);
    closing_ = true;
  }
  offered_.notify_all();
  for (std::thread& thread : threads_) thread.join();
}

bool Crew::left_behind() const {
  const int process = process_;
  return process != 0 && process != getpid();
}

void Crew::hire_up_to(std::size_t helpers) {
  process_ = getpid();
  try {
    while (threads_.size() < helpers) threads_.emplace_back([this] { help(); });
  } catch (const std::system_error&) {
    return;  // the work is done by fewer
  }
}

void Crew::share(const std::function<void()>& work, std::size_t helpers) {
  if (helpers == 0 || left_behind()) return work();
  Offer offer{work, helpers};
  {
    const std::scoped_lock lock(mutex_);
    hire_up_to(helpers);
    offers_.push_back(&offer);
  }
  helpers > 1 ? offered_.notify_all() : offered_.notify_one();
  work();
  std::unique_lock lock(mutex_);
  if (offer.open > 0) offers_.erase(std::find(offers_.begin(), offers_.end(), &offer));
  left_.wait(lock, [&] { return offer.inside == 0; });
}

void Crew::help() {
  std::unique_lock lock(mutex_);
  for (;;) {
    offered_.wait(lock, [this] { return closing_ || !offers_.empty(); });
    if (closing_) return;
    Offer& offer = *offers_.front();
    ++offer.inside;
    if (--offer.open == 0) offers_.pop_front();
    lock.unlock();
    offer.work();
    lock.lock();
    if (--offer.inside == 0) left_.notify_all();
  }
}

}  // namespace scrapetrace
